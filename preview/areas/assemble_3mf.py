"""The objects of a 3MF package put in their places and named."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from preview.areas.model_3mf import Component, Matrix, Model, Object
from preview.areas.repairs import counted
from preview.areas.soup import Labels, Soup, labels_from_parts
from preview.errors import MeshFault

_DEEPEST = 32
_MOST_FACES = 50_000_000


def assembled(path: Path, models: Mapping[str, Model]) -> Soup:
    """All objects on the build plate as one soup; raises MeshFault.

    Parameters
    ----------
    path : the file, for messages.
    models : model parts by their names, the main one first.
    """
    main = next(iter(models))
    notes: list[str] = []
    pieces = list(_pieces(path, models, main, _build(models[main], notes)))
    sizes = [len(item.corners) // 3 for _, item, _, _ in pieces]
    if not sum(sizes):
        raise MeshFault("the 3MF file holds no triangle", str(path), "export the figure again")
    if sum(sizes) > _MOST_FACES:
        raise MeshFault(
            f"the 3MF file unfolds to {sum(sizes):,} faces, which is too much",
            str(path),
            "decimate the mesh to a few million faces",
        )
    vertices, faces = _geometry(pieces)
    count = len(faces)
    inside = ((faces >= 0) & (faces < len(vertices))).all(axis=1)
    if not inside.all():
        notes.append(
            f"left out {counted(int((~inside).sum()), 'face')} that pointed at vertices the file "
            "does not hold"
        )
    names: list[str | None] = [item.name or None for _, item, _, _ in pieces]
    labels = (*_properties(models, pieces), labels_from_parts("objects", names, sizes))
    return Soup(
        vertices=vertices,
        faces=faces[inside].astype(np.int32),
        source_face=np.flatnonzero(inside).astype(np.int64),
        source_count=count,
        labels=tuple(Labels(x.kind, x.names, x.of_face[inside]) for x in labels),
        unit=models[main].unit,
        notes=tuple(notes),
    )


Piece = tuple[str, Object, Matrix, tuple[str, str]]


def _build(model: Model, notes: list[str]) -> list[Component]:
    """What stands on the build plate; without a list of that, every object that no other holds."""
    if model.build:
        return model.build
    held = {c.object_id for item in model.objects.values() for c in item.components}
    loose = [Component(key, "", np.eye(4)) for key in model.objects if key not in held]
    if loose:
        notes.append(
            "the file does not say what to build: "
            f"took {counted(len(loose), 'object')}, which is all it holds"
        )
    return loose


def _pieces(
    path: Path, models: Mapping[str, Model], main: str, build: list[Component]
) -> Iterator[Piece]:
    """Every mesh below the build items: its part, itself, its place, the material from above."""
    waiting = [(item, main, np.eye(4), 0, ("", ""), "") for item in reversed(build)]
    while waiting:
        component, part, above, depth, given, name = waiting.pop()
        part = component.part or part
        item = models[part].objects.get(component.object_id) if part in models else None
        if item is None or depth > _DEEPEST:
            raise MeshFault(
                f"the 3MF file uses object {component.object_id}, which it does not hold"
                if item is None
                else "the objects of the 3MF file hold each other without end",
                str(path),
                "export the figure again",
            )
        matrix = component.matrix @ above
        material = (item.pid, item.pindex) if item.pid else given
        if item.kind in ("support", "solidsupport", "other"):
            continue
        if item.corners:
            named = Object(item.name or name, item.kind, *material, item.vertices, item.corners,
                           item.properties)  # fmt: skip
            yield part, named, matrix, material
        waiting += [
            (inner, part, matrix, depth + 1, material, item.name or name)
            for inner in reversed(item.components)
        ]


def _geometry(pieces: list[Piece]) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """All vertices in place and all triangles; a mirrored piece keeps its outside outside."""
    vertices, faces, shift = [], [], 0
    for _, item, matrix, _ in pieces:
        own = np.array(item.vertices, dtype=np.float64).reshape(-1, 3)
        x, y, z = own.T
        placed = [x * matrix[0, k] + y * matrix[1, k] + z * matrix[2, k] + matrix[3, k]
                  for k in range(3)]  # fmt: skip
        triples = np.array(item.corners, dtype=np.int64).reshape(-1, 3)
        astray = (triples < 0) | (triples >= len(own))
        triples = np.where(astray, -1, triples + shift)
        if np.linalg.det(matrix[:3, :3]) < 0:
            triples = triples[:, ::-1]
        vertices.append(np.stack(placed, axis=1))
        faces.append(triples)
        shift += len(own)
    return np.concatenate(vertices), np.concatenate(faces)


def _properties(models: Mapping[str, Model], pieces: list[Piece]) -> Iterator[Labels]:
    """What the triangles say about material and colour, a triangle's own word first."""
    for kind in ("materials", "colours"):
        names: dict[str, int] = {}
        parts = []
        for part, item, _, material in pieces:
            count = len(item.corners) // 3
            of_face = np.full(count, _number(models[part], kind, *material, names), np.int32)
            own = np.array(item.properties, dtype=np.int32)
            pairs = models[part].properties
            known = [_number(models[part], kind, *pair, names) for pair in pairs]
            if known:
                of_face = np.where(own >= 0, np.array(known, np.int32)[own], of_face)
            parts.append(of_face)
        yield Labels(kind, tuple(names), np.concatenate(parts))


def _number(model: Model, kind: str, pid: str, index: str, names: dict[str, int]) -> int:
    """The number of a material or colour, given a new one when it has none; -1 for nothing."""
    group = model.groups.get(pid)
    if group is None or group[0] != kind or not index.isdecimal() or int(index) >= len(group[1]):
        return -1
    return names.setdefault(group[1][int(index)], len(names))
