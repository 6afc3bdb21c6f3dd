"""A soup of triangles made into one sound mesh, with a sentence for each repair."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from preview.areas.repairs import Repair
from preview.areas.winding import against_their_neighbours
from preview.errors import MeshFault
from preview.shape.compiled import compiled
from preview.shape.curve import renumbered
from preview.shape.neighbours import Neighbours, neighbours_of
from preview.shape.threads import at_once
from preview.shape.weld import weld_exact, weld_near

_CRACK_MM = 1e-4
_FURTHEST = 1e9
_FLAT = 1e-7
_LEAST_SOUND = 0.5
_ODD = 0x9E3779B97F4A7C15


@dataclass(frozen=True, eq=False)
class Mended:
    """A mesh on its way: `kept` says which triangles of the soup its faces are."""

    vertices: NDArray[np.floating]
    faces: NDArray[np.int32]
    kept: NDArray[np.int64]
    repairs: tuple[Repair, ...]


def welded(vertices: NDArray[np.floating], faces: NDArray[np.int32]) -> Mended:
    """Drop triangles with corners that are no place, then join equal corners.

    Raises
    ------
    MeshFault : fewer than half of the triangles are sound.
    """
    repairs = []
    kept = np.arange(len(faces), dtype=np.int64)
    # What is no number is neither above nor below.
    if not (vertices.min(initial=0) > -_FURTHEST and vertices.max(initial=0) < _FURTHEST):
        sound = (np.abs(vertices) < _FURTHEST).all(axis=1)[faces].all(axis=1)
        lost = int((~sound).sum())
        if lost > (1 - _LEAST_SOUND) * len(faces):
            raise MeshFault(
                f"{lost:,} of {len(faces):,} faces have corners that are no numbers",
                "",
                "export the figure again",
            )
        if lost:
            repairs.append(Repair("left out", lost, "face", "with corners that are no numbers"))
        kept = kept[sound]
    return Mended(*_compact(vertices, faces[kept]), kept, tuple(repairs))


def ordered(mesh: Mended, order: NDArray[np.int64]) -> Mended:
    """The mesh with its faces in another order, and its vertices as they then come.

    Where those close by stand close, as along a curve that fills space, whatever walks over a
    large mesh finds its next numbers in the processor's cache.
    """
    vertices, faces = renumbered(mesh.vertices, np.take(mesh.faces, order, axis=0))
    return replace(mesh, vertices=vertices, faces=faces, kept=mesh.kept[order])


def _compact(
    vertices: NDArray[np.floating], faces: NDArray[np.int32]
) -> tuple[NDArray[np.floating], NDArray[np.int32]]:
    """Only the vertices that faces use, equal ones joined."""
    used = np.zeros(len(vertices), np.bool_)
    used[faces] = True
    if not used.all():
        new = np.cumsum(used, dtype=np.int32) - np.int32(1)
        vertices, faces = vertices[used], new[faces]
    places, place_of = weld_exact(vertices)
    return places, place_of[faces]


def without_flat(mesh: Mended) -> Mended:
    """The mesh without faces that name a corner twice or whose corners lie on one line.

    Raises
    ------
    MeshFault : nothing is left.
    """
    keep = np.empty(len(mesh.faces), np.bool_)
    _mark_solid(mesh.vertices, mesh.faces, keep)
    return _only(mesh, keep, "without area")


@compiled
def _mark_solid(
    vertices: NDArray[np.floating], faces: NDArray[np.int32], keep: NDArray[np.bool_]
) -> None:
    """Fill in whether each face has an area worth the name beside its longest edge."""
    side = np.empty((3, 3))
    for f in range(len(faces)):
        longest = 0.0
        for e in range(3):
            square = 0.0
            for k in range(3):
                side[e, k] = np.float64(vertices[faces[f, (e + 1) % 3], k]) - np.float64(
                    vertices[faces[f, e], k]
                )
                square += side[e, k] * side[e, k]
            longest = max(longest, square)
        x = side[0, 1] * side[1, 2] - side[0, 2] * side[1, 1]
        y = side[0, 2] * side[1, 0] - side[0, 0] * side[1, 2]
        z = side[0, 0] * side[1, 1] - side[0, 1] * side[1, 0]
        keep[f] = 0.5 * np.sqrt(x * x + y * y + z * z) > _FLAT * longest


def mended(mesh: Mended, area_hint: NDArray[np.integer]) -> tuple[Mended, Neighbours]:
    """Drop repeated faces, close cracks, wind neighbours alike.

    Parameters
    ----------
    mesh : vertices in mm, no face flat.
    area_hint : (triangles of the soup,) int, the label of each; of two equal faces the one that
        is labelled stays.

    Raises
    ------
    MeshFault : nothing is left.
    """
    # Mostly nothing is repeated, so neighbours are looked for at once.
    pairs, sound = at_once(
        lambda: neighbours_of(mesh.faces), lambda: _without_repeated(mesh, area_hint)
    )
    if sound is not mesh:
        mesh, pairs = sound, neighbours_of(sound.faces)
    closer = _across_cracks(mesh, pairs)
    moved = int((closer != np.arange(len(closer))).sum())
    if moved:
        note = Repair("joined", moved, "corner", "across cracks")
        mesh = replace(mesh, faces=closer[mesh.faces], repairs=(*mesh.repairs, note))
        mesh = _without_repeated(without_flat(mesh), area_hint)
        pairs = neighbours_of(mesh.faces)
    turn = against_their_neighbours(len(mesh.faces), pairs)
    if turn.any():
        note = Repair("turned", int(turn.sum()), "face", "wound against the neighbours")
        faces = np.where(turn[:, None], mesh.faces[:, ::-1], mesh.faces)
        mesh = replace(mesh, faces=faces, repairs=(*mesh.repairs, note))
        pairs = neighbours_of(faces)
    return mesh, pairs


def _across_cracks(mesh: Mended, pairs: Neighbours) -> NDArray[np.int32]:
    """For each vertex, the one that it becomes when the ends of open edges are joined."""
    if not len(pairs.open_face):
        return np.arange(len(mesh.vertices), dtype=np.int32)
    return weld_near(mesh.vertices, pairs.open_ends, _CRACK_MM)


def _without_repeated(mesh: Mended, area_hint: NDArray[np.integer]) -> Mended:
    """The mesh without faces that have the corners and the winding of another."""
    key = np.empty(len(mesh.faces), np.uint64)
    _mix_corners(mesh.faces, key)
    ordered = np.sort(key)
    twice = ordered[1:][ordered[1:] == ordered[:-1]]
    # Only faces that share a key can be equal; nearly always there are none.
    some = np.flatnonzero(np.isin(key, twice))
    faces, rows = mesh.faces[some], np.arange(len(some))
    low = np.argmin(faces, axis=1)
    rolled = np.stack([faces[rows, (low + k) % 3] for k in range(3)], axis=1)
    labelled = area_hint[mesh.kept[some]] >= 0
    order = np.lexsort((rows, ~labelled, rolled[:, 2], rolled[:, 1], rolled[:, 0]))
    same = (rolled[order[1:]] == rolled[order[:-1]]).all(axis=1)
    keep = np.ones(len(mesh.faces), np.bool_)
    keep[some[order[1:][same]]] = False
    return _only(mesh, keep, "that repeated another")


@compiled
def _mix_corners(faces: NDArray[np.int32], key: NDArray[np.uint64]) -> None:
    """Fill in a number for each face that depends on its corners and their winding alone."""
    for f in range(len(faces)):
        a, b, c = faces[f, 0], faces[f, 1], faces[f, 2]
        if b < a and b < c:
            a, b, c = b, c, a
        elif c < a and c < b:
            a, b, c = c, a, b
        mixed = np.uint64(0)
        for corner in (a, b, c):
            mixed = (mixed ^ np.uint64(corner)) * np.uint64(_ODD)
            mixed ^= mixed >> np.uint64(32)
        key[f] = mixed


def _only(mesh: Mended, keep: NDArray[np.bool_], which: str) -> Mended:
    """The mesh with some of its faces, and a note when others went."""
    lost = int((~keep).sum())
    if not lost:
        return mesh
    if lost == len(keep):
        raise MeshFault(
            "no face of the mesh has any area", "", "export the figure again, or decimate it less"
        )
    note = Repair("left out", lost, "face", which)
    return Mended(mesh.vertices, mesh.faces[keep], mesh.kept[keep], (*mesh.repairs, note))
