"""Vertices that stand at the same place become one."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.shape.compiled import compiled

_ODD = 0x9E3779B97F4A7C15


def weld_exact(
    vertices: NDArray[np.floating],
) -> tuple[NDArray[np.floating], NDArray[np.int32]]:
    """Join the vertices whose three coordinates are equal bit by bit; 0.0 and -0.0 are equal.

    Vertices meet in a table of hashes and are compared themselves, so a hash shared by two places
    cannot join them.

    Parameters
    ----------
    vertices : (vertices, 3) float32 or float64, finite, any unit.

    Returns
    -------
    places : (places, 3), the distinct ones, in the order of their first mention.
    place_of : (vertices,) int32, index into places.
    """
    exact = np.ascontiguousarray(vertices) + vertices.dtype.type(0)
    if not len(exact):
        return exact, np.zeros(0, np.int32)
    words = exact.view(np.uint32 if exact.dtype.itemsize == 4 else np.uint64)
    slots = np.full(1 << (2 * len(exact) - 1).bit_length(), -1, np.int32)
    first, place_of = np.empty(len(exact), np.int32), np.empty(len(exact), np.int32)
    places = _meet(words, slots, first, place_of)
    return np.take(exact, first[:places], axis=0), place_of


def weld_near(
    vertices: NDArray[np.floating], candidates: NDArray[np.integer], tolerance: float
) -> NDArray[np.int32]:
    """Join those candidates that lie within `tolerance` of each other, chains included.

    Parameters
    ----------
    vertices : (vertices, 3) float, any unit.
    candidates : (candidates,) int, the vertices that may be joined; open edges' ends, usually.
    tolerance : > 0, same unit.

    Returns
    -------
    vertex_of : (vertices,) int32, for each vertex the lowest vertex it is joined with, or itself.
    """
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components
    from scipy.spatial import cKDTree

    vertex_of = np.arange(len(vertices), dtype=np.int32)
    some = np.unique(candidates)
    pairs = cKDTree(vertices[some]).query_pairs(tolerance, output_type="ndarray")
    if not len(pairs):
        return vertex_of
    graph = coo_matrix(
        (np.ones(len(pairs), np.int8), (pairs[:, 0], pairs[:, 1])), shape=(len(some), len(some))
    )
    count, group = connected_components(graph, directed=False)
    lowest = np.full(count, len(vertices), np.int64)
    np.minimum.at(lowest, group, some)
    vertex_of[some] = lowest[group]
    return vertex_of


@compiled
def _meet(
    words: NDArray[np.unsignedinteger],
    slots: NDArray[np.int32],
    first: NDArray[np.int32],
    place_of: NDArray[np.int32],
) -> int:
    """Number the places by their first mention; gives how many there are.

    slots : a power of two of them, at least twice the vertices, all -1.
    """
    last = np.uint64(len(slots) - 1)
    places = 0
    for i in range(len(words)):
        mixed = np.uint64(0)
        for k in range(3):
            mixed = (mixed ^ np.uint64(words[i, k])) * np.uint64(_ODD)
            mixed ^= mixed >> np.uint64(32)
        slot = mixed & last
        while slots[slot] >= 0:
            other = first[slots[slot]]
            if (
                words[other, 0] == words[i, 0]
                and words[other, 1] == words[i, 1]
                and words[other, 2] == words[i, 2]
            ):
                break
            slot = (slot + np.uint64(1)) & last
        if slots[slot] < 0:
            slots[slot] = places
            first[places] = i
            places += 1
        place_of[i] = slots[slot]
    return places
