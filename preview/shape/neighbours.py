"""Which faces share an edge, where a mesh is open, and of which shells it consists."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.shape.compiled import compiled
from preview.shape.ordering import order_of


@dataclass(frozen=True, eq=False)
class Neighbours:
    """The edges of a mesh, seen as pairs of faces.

    left, right : (pairs,) int32, two faces that share an edge; left is the lower number.
    ends : (pairs, 2) int32, the edge's two vertices, in the direction in which left runs them.
    same_way : (pairs,) bool, both faces run the edge in the same direction: one of them is
        wound against the other.
    crowded : (pairs,) bool, more than two faces meet at this edge; they are paired in a chain.
    open_face : (open edges,) int32, the only face at an edge.
    open_ends : (open edges, 2) int32, its two vertices, in that face's direction.
    """

    left: NDArray[np.int32]
    right: NDArray[np.int32]
    ends: NDArray[np.int32]
    same_way: NDArray[np.bool_]
    crowded: NDArray[np.bool_]
    open_face: NDArray[np.int32]
    open_ends: NDArray[np.int32]


def neighbours_of(faces: NDArray[np.integer]) -> Neighbours:
    """Pair the faces across every edge of a mesh.

    Parameters
    ----------
    faces : (faces, 3) int, indices into welded vertices; no face names a vertex twice.

    Notes
    -----
    Holds exactly: an edge with n faces gives n - 1 pairs; open edges give none.
    """
    start = np.ascontiguousarray(faces, dtype=np.int32).ravel()
    end = np.ascontiguousarray(faces[:, [1, 2, 0]], dtype=np.int32).ravel()
    if not len(start):
        return _none()
    key, bits = _edge_key(start, end)
    order = order_of(key, bits)
    key = key[order]
    joined = key[1:] == key[:-1]
    before = np.concatenate(([False], joined))
    after = np.concatenate((joined, [False]))
    alone = order[~before & ~after]
    at = np.flatnonzero(joined)
    first, second = order[at], order[at + 1]
    crowded = before[at] | after[at + 1]
    return Neighbours(
        left=(first // 3).astype(np.int32),
        right=(second // 3).astype(np.int32),
        ends=np.stack((start[first], end[first]), axis=1),
        same_way=start[first] == start[second],
        crowded=crowded,
        open_face=(alone // 3).astype(np.int32),
        open_ends=np.stack((start[alone], end[alone]), axis=1),
    )


def shells_of(face_count: int, pairs: Neighbours) -> tuple[int, NDArray[np.int32]]:
    """The pieces that hang together by edges.

    Parameters
    ----------
    face_count : how many faces the mesh has.
    pairs : its neighbours.

    Returns
    -------
    count : how many shells there are.
    shell : (faces,) int32, in [0, count), numbered by their lowest face.
    """
    return joined(face_count, pairs.left, pairs.right)


def joined(
    count: int, left: NDArray[np.integer], right: NDArray[np.integer]
) -> tuple[int, NDArray[np.int32]]:
    """The groups into which `count` things fall when each left hangs together with its right.

    Parameters
    ----------
    count : how many things there are.
    left, right : (links,) int, in [0, count).

    Returns
    -------
    groups : how many groups there are.
    group : (things,) int32, in [0, groups), numbered by their lowest thing.
    """
    leader, group = np.arange(count, dtype=np.int32), np.empty(count, np.int32)
    groups = _unite(np.ascontiguousarray(left), np.ascontiguousarray(right), leader, group)
    return groups, group


@compiled
def _unite(
    left: NDArray[np.integer],
    right: NDArray[np.integer],
    leader: NDArray[np.int32],
    group: NDArray[np.int32],
) -> int:
    """Fill in each thing's group; gives how many there are.

    leader : at first each thing itself; in the end one of its group that stands before it, or
        itself when none does. Ways to the first are halved whenever they are gone.
    """
    for i in range(len(left)):
        a, b = left[i], right[i]
        while leader[a] != a:
            leader[a] = leader[leader[a]]
            a = leader[a]
        while leader[b] != b:
            leader[b] = leader[leader[b]]
            b = leader[b]
        leader[max(a, b)] = min(a, b)
    groups = 0
    for i in range(len(leader)):
        if leader[i] == i:
            group[i] = groups
            groups += 1
        else:
            group[i] = group[leader[i]]
    return groups


def _edge_key(start: NDArray[np.int32], end: NDArray[np.int32]) -> tuple[NDArray[np.uint64], int]:
    """One number per edge, the same in both directions, and the bits that it needs."""
    vertex_bits = max(1, int(max(start.max(), end.max())).bit_length())
    key = np.minimum(start, end).astype(np.uint64)
    key <<= np.uint64(vertex_bits)
    key |= np.maximum(start, end).astype(np.uint64)
    return key, 2 * vertex_bits


def _none() -> Neighbours:
    """The neighbours of nothing."""
    ints, ends, bools = np.zeros(0, np.int32), np.zeros((0, 2), np.int32), np.zeros(0, np.bool_)
    return Neighbours(ints, ints, ends, bools, bools, ints, ends)
