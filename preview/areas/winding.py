"""Faces turned so that all of a shell are wound alike, and outward."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.facing import area_vectors, lengths
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
    corner = np.take(vertices, faces[:, 0], axis=0).astype(np.float64)
    vectors = area_vectors(vertices, faces)
    middle = _sums(corner, shell, shell_count) / np.bincount(shell, minlength=shell_count)[:, None]
    about = corner - np.take(middle, shell, axis=0)
    volume = np.bincount(shell, np.einsum("ij,ij->i", about, vectors) / 3, shell_count)
    area = np.bincount(shell, lengths(vectors), shell_count)
    nearly_closed = lengths(_sums(vectors, shell, shell_count)) <= _NEARLY_CLOSED * area
    return np.asarray(nearly_closed & (volume < -_HOLDS_ROOM * area**1.5), dtype=np.bool_)


def _sums(
    vectors: NDArray[np.float64], shell: NDArray[np.integer], shell_count: int
) -> NDArray[np.float64]:
    """(shells, 3) float64: the sum of the vectors of each shell."""
    return np.stack([np.bincount(shell, vectors[:, k], shell_count) for k in range(3)], axis=1)
