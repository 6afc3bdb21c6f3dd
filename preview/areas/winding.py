"""Faces turned so that all of a shell are wound alike, and outward."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.facing import area_vectors, lengths
from preview.shape.compiled import compiled
from preview.shape.neighbours import Neighbours, joined

_NEARLY_CLOSED = 0.2
_HOLDS_ROOM = 0.002


def against_their_neighbours(face_count: int, pairs: Neighbours) -> NDArray[np.bool_]:
    """Which faces must be turned so that neighbours run their common edge in opposite ways.

    In each patch the fewer faces are turned. Every face stands twice in a graph, as it is and
    turned; two faces' versions hang together where they fit. A patch that hangs together with its
    own turned version has one side only (as a Möbius strip has) and is left as it is.

    Parameters
    ----------
    face_count : how many faces the mesh has.
    pairs : its neighbours; edges at which more than two faces meet say nothing here.

    Returns
    -------
    turn : (faces,) bool.
    """
    plain = ~pairs.crowded
    odd = pairs.same_way & plain
    turn = np.zeros(face_count, np.bool_)
    if not odd.any():
        return turn
    left, right = pairs.left[plain].astype(np.int64), pairs.right[plain].astype(np.int64)
    same = pairs.same_way[plain]
    across = np.where(same, right + face_count, right)
    back = np.where(same, right, right + face_count)
    _, version = joined(
        2 * face_count,
        np.concatenate((left, left + face_count)),
        np.concatenate((across, back)),
    )
    as_is, turned = version[:face_count], version[face_count:]
    one_sided = as_is == turned
    # Of the two versions of a patch, keep as they are the faces of the one with more of them.
    members = np.bincount(as_is, minlength=int(version.max()) + 1)
    fewer = members[as_is] < members[turned]
    tied = (members[as_is] == members[turned]) & (as_is > turned)
    turn = (fewer | tied) & ~one_sided
    return np.asarray(turn, dtype=np.bool_)


def shells_inside_out(
    vertices: NDArray[np.floating],
    faces: NDArray[np.integer],
    shell: NDArray[np.integer],
    shell_count: int,
) -> NDArray[np.bool_]:
    """Which shells enclose a negative volume, and so show their inside.

    An open shell counts only when it is nearly closed: when its faces, as vectors, almost add up
    to nothing, as those of a closed surface do exactly.

    Parameters
    ----------
    vertices : (vertices, 3) float, mm.
    faces : (faces, 3) int, each shell wound alike.
    shell : (faces,) int, in [0, shell_count).

    Returns
    -------
    inside_out : (shells,) bool.
    """
    # Of each shell: the sum of corners, of areas as vectors, and of areas; how many faces.
    sums, volume = np.zeros((shell_count, 8)), np.zeros(shell_count)
    vectors = area_vectors(vertices, faces)
    _sum_up(vertices, faces, vectors, shell, sums)
    middle = sums[:, :3] / sums[:, 7:]
    _sum_volumes(vertices, faces, vectors, shell, middle, volume)
    area = sums[:, 6]
    nearly_closed = lengths(np.ascontiguousarray(sums[:, 3:6])) <= _NEARLY_CLOSED * area
    return np.asarray(nearly_closed & (volume < -_HOLDS_ROOM * area**1.5), dtype=np.bool_)


@compiled
def _sum_up(
    vertices: NDArray[np.floating],
    faces: NDArray[np.integer],
    vectors: NDArray[np.float64],
    shell: NDArray[np.integer],
    sums: NDArray[np.float64],
) -> None:
    """Add up the faces of each shell: first corner, vector of the area, area, one."""
    for f in range(len(faces)):
        s, square = shell[f], 0.0
        for k in range(3):
            sums[s, k] += vertices[faces[f, 0], k]
            sums[s, 3 + k] += vectors[f, k]
            square += vectors[f, k] * vectors[f, k]
        sums[s, 6] += np.sqrt(square)
        sums[s, 7] += 1.0


@compiled
def _sum_volumes(
    vertices: NDArray[np.floating],
    faces: NDArray[np.integer],
    vectors: NDArray[np.float64],
    shell: NDArray[np.integer],
    middle: NDArray[np.float64],
    volume: NDArray[np.float64],
) -> None:
    """Add up what lies between each face and the middle of its shell."""
    for f in range(len(faces)):
        s, room = shell[f], 0.0
        for k in range(3):
            room += (vertices[faces[f, 0], k] - middle[s, k]) * vectors[f, k]
        volume[s] += room / 3.0
