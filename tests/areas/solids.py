"""Figures with known areas, and the same as single solids that say nothing of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from preview.areas.load import load_sculpt
from preview.areas.sculpt import Sculpt
from preview.shape.rays import RayScene
from preview.shipped import shipped
from tests.areas.figures.beekeeper import beekeeper
from tests.areas.figures.cook import cook
from tests.areas.figures.coxswain import coxswain
from tests.areas.figures.diver import diver
from tests.areas.figures.ferrywoman import ferrywoman
from tests.areas.figures.fiddler import fiddler
from tests.areas.figures.fields import Figure
from tests.areas.figures.lamplighter import lamplighter
from tests.areas.figures.netmender import netmender
from tests.areas.figures.pilot import pilot
from tests.areas.figures.signaller import signaller
from tests.areas.figures.stoker import stoker
from tests.areas.figures.storekeeper import storekeeper
from tests.conftest import OUTSIDE_MESHES
from tests.sculpts import sculpt_of

_SCULPTED: dict[str, Callable[[], Figure]] = {
    "beekeeper": lambda: beekeeper(0.2),
    "coxswain": lambda: coxswain(0.2),
    "diver": lambda: diver(0.2),
    "cook": lambda: cook(0.2),
    "lamplighter": lamplighter,
    "signaller": signaller,
    "pilot": pilot,
    "netmender": netmender,
    "ferrywoman": ferrywoman,
    "stoker": stoker,
    "storekeeper": storekeeper,
    "fiddler": fiddler,
}
_MOST_WALLS = 40
_SOFT = 0.7
_NUDGE = 1e-4


def as_one_solid(figure: Sculpt) -> Sculpt:
    """The same faces, all in one area."""
    return replace(figure, area=np.zeros_like(figure.area), area_names=("figure",))


def figure_named(name: str) -> Sculpt | None:
    """A figure with its true areas; None when its mesh is not there."""
    if name == "keeper":
        return load_sculpt(shipped("meshes", "keeper.glb"))
    if name in _SCULPTED:
        made = _SCULPTED[name]()
        return sculpt_of(made.vertices, made.faces, made.area, made.names)
    path: Path = OUTSIDE_MESHES / f"q_{name.removesuffix('-solid').capitalize()}.glb"
    if not path.exists():
        return None
    figure = load_sculpt(path)
    return closed_around(figure) if name.endswith("-solid") else figure


def closed_around(figure: Sculpt, cell: float = 0.16) -> Sculpt:
    """A figure of many shells as the one closed surface around them, with its true areas.

    Cubes of a size in mm are inside where most of three rays say so that count walls; a face takes
    the area of the nearest face of the figure that can be seen and looks the same way.
    """
    from scipy.ndimage import gaussian_filter
    from scipy.spatial import cKDTree
    from skimage.measure import marching_cubes

    low = figure.vertices.min(axis=0).astype(np.float64) - 3 * cell
    counts = np.ceil((figure.vertices.max(axis=0) + 3 * cell - low) / cell).astype(int)
    votes = sum(_inside_along(figure.rays, axis, low, counts, cell) for axis in range(3))
    soft = gaussian_filter((votes >= 2).astype(np.float32), _SOFT)
    vertices, faces, _, _ = marching_cubes(
        soft, 0.5, spacing=(cell,) * 3, gradient_direction="ascent"
    )
    vertices = (vertices + low).astype(np.float32)
    middle = vertices[faces].mean(axis=1)
    points, owner = _points(figure, np.flatnonzero(figure.exposed), cell)
    _, near = cKDTree(points).query(middle, k=12)
    a, b, c = (vertices[faces[:, k]] for k in range(3))
    normal = np.cross(b - a, c - a)
    fits = np.einsum("fkx,fx->fk", figure.normal[owner[near]], normal) > 0
    best = near[np.arange(len(near)), np.argmax(fits, axis=1)]
    area = figure.area[owner[best]]
    return sculpt_of(vertices, faces, area, figure.area_names)


def _inside_along(
    scene: RayScene, axis: int, low: NDArray[np.float64], counts: NDArray[np.int_], cell: float
) -> NDArray[np.int8]:
    """Which cubes lie inside, by counting walls along rays in one direction."""
    others = [k for k in range(3) if k != axis]
    u, v = (low[k] + (np.arange(counts[k]) + 0.5) * cell for k in others)
    first, second = (g.ravel() for g in np.meshgrid(u, v, indexing="ij"))
    origin = np.zeros((len(first), 3), np.float32)
    origin[:, others[0]], origin[:, others[1]] = first, second
    origin[:, axis] = low[axis] - cell
    ahead = np.zeros((1, 3), np.float32)
    ahead[0, axis] = 1.0
    corners = scene.vertices[scene.faces]
    facing = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])[:, axis]
    depth = np.zeros((len(first), counts[axis] + 1), np.int8)
    rows, at = np.arange(len(first)), origin.copy()
    for _ in range(_MOST_WALLS):
        face, distance, _ = scene.first_hit(at[rows], ahead)
        hit = face >= 0
        rows, face, distance = rows[hit], face[hit], distance[hit]
        if not len(rows):
            break
        at[rows, axis] += distance + _NUDGE
        index = np.clip(np.round((at[rows, axis] - low[axis]) / cell), 0, counts[axis])
        np.add.at(depth, (rows, index.astype(int)), np.where(facing[face] < 0, 1, -1))
    inside = np.cumsum(depth, axis=1)[:, :-1] > 0
    shaped = inside.reshape(counts[others[0]], counts[others[1]], counts[axis])
    return np.moveaxis(shaped, 2, axis).astype(np.int8)


def _points(
    figure: Sculpt, which: NDArray[np.int_], step: float
) -> tuple[NDArray[np.float32], NDArray[np.int_]]:
    """Points spread over some faces, and the face of each."""
    rng = np.random.default_rng(7)
    size = figure.mm2[which]
    number = np.maximum(1, np.ceil(2 * size / step**2)).astype(int)
    owner = np.repeat(which, number)
    share = rng.random((len(owner), 2), dtype=np.float32)
    over = share.sum(axis=1) > 1
    share[over] = 1 - share[over]
    a, b, c = (figure.corners[owner, k] for k in range(3))
    return a + share[:, :1] * (b - a) + share[:, 1:] * (c - a), owner
