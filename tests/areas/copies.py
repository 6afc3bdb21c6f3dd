"""A figure as other programs might export it again: thinned, finer, moved, turned, in inches."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.standin import parted, thinned
from preview.areas.load import load_sculpt
from preview.areas.marks.apply import Marked, MarkedFigure
from preview.areas.marks.model import Marks
from preview.areas.marks.settled import settled_on
from preview.areas.marks.write import fingerprint_of
from preview.areas.sculpt import Sculpt
from tests.areas.small_meshes import Mesh, write_stl

KINDS = (
    "same",
    "moved",
    "inch",
    "metre, y up",
    "turned 37°",
    "tilted 25°",
    "tenth",
    "finer",
    "remeshed",
)


def copies(
    sculpt: Sculpt, folder: Path, kinds: tuple[str, ...] = KINDS
) -> Iterator[tuple[str, Sculpt]]:
    """Each copy, written as a binary STL and read again."""
    mesh: Mesh = sculpt.vertices.astype(np.float64), sculpt.faces.astype(np.int64)
    for kind in kinds:
        path = write_stl(folder / "copy.stl", _changed(kind, mesh))
        yield kind, load_sculpt(path)


def as_kept(sculpt: Sculpt, marks: Marks) -> tuple[MarkedFigure, Marks, Marked]:
    """The marks as a file keeps them once their areas were shown, and what comes of them."""
    figure = MarkedFigure(sculpt, marks)
    surface = figure.analysis.surface
    own = fingerprint_of("figure", len(sculpt.faces), surface)
    kept = replace(marks, figure=own, metric=surface.metric)
    marked = figure.apply(kept)
    settled = settled_on(figure.analysis, marked.carried.thin, marked.names, kept)
    return figure, replace(kept, settled=settled), marked


def same_share(one: MarkedFigure, first: Marked, other: MarkedFigure, second: Marked) -> float:
    """The share of the second figure's visible surface with the label of the place on the first."""
    from scipy.spatial import cKDTree

    names = {name: k for k, name in enumerate(first.sculpt.area_names)}
    label = np.array([names.get(n, -1) for n in second.sculpt.area_names])[second.sculpt.area]
    here = one.vertices[one.sculpt.faces].mean(axis=1)
    there = other.vertices[other.sculpt.faces].mean(axis=1)
    _, near = cKDTree(here).query(there, k=min(8, len(here)))
    normal = other.framed.normal
    fits = np.einsum("fkx,fx->fk", one.framed.normal[near], normal) > 0.2
    best = near[np.arange(len(near)), np.argmax(fits, axis=1)]
    size = np.where(second.sculpt.exposed, second.sculpt.mm2, 0.0).astype(np.float64)
    return float(size[first.sculpt.area[best] == label].sum() / size.sum())


def _changed(kind: str, mesh: Mesh) -> Mesh:
    """The mesh as that copy has it."""
    vertices, faces = mesh
    if kind == "moved":
        return vertices + np.array((120.0, -45.0, 7.0)), faces
    if kind == "inch":
        return vertices / 25.4, faces
    if kind == "metre, y up":
        return vertices[:, [0, 2, 1]] * (0.001, 0.001, -0.001), faces
    if kind == "turned 37°":
        return vertices @ turn((0, 0, 1), 37.0).T, faces
    if kind == "tilted 25°":
        return vertices @ turn((1, 0.3, 0), 25.0).T, faces
    if kind in ("tenth", "third"):
        left = len(faces) // (10 if kind == "tenth" else 3)
        thin = thinned(vertices.astype(np.float32), faces.astype(np.int32), left)
        return thin[0].astype(np.float64), thin[1].astype(np.int64)
    if kind == "finer":
        return finer(vertices, faces)
    if kind == "remeshed":
        more = finer(vertices + np.array((0.013, -0.017, 0.021)), faces)
        thin = thinned(more[0].astype(np.float32), more[1].astype(np.int32), len(faces) * 2 // 3)
        return thin[0].astype(np.float64), thin[1].astype(np.int64)
    return mesh


def turn(axis: tuple[float, float, float], degrees: float) -> NDArray[np.float64]:
    """A turn about an axis, by Rodrigues' formula."""
    x, y, z = np.array(axis, np.float64) / np.linalg.norm(axis)
    cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    angle = np.radians(degrees)
    return np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * (cross @ cross)


def finer(vertices: NDArray[np.float64], faces: NDArray[np.int64]) -> Mesh:
    """Every face in four."""
    points, triples = parted(vertices.astype(np.float32), faces.astype(np.int32))
    return points.astype(np.float64), triples.astype(np.int64)
