"""Vertices that stand at the same place become one."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.shape.ordering import order_of

_ODD = (0x9E3779B97F4A7C15, 0xC2B2AE3D27D4EB4F, 0x165667B19E3779F9)


def weld_exact(
    vertices: NDArray[np.floating],
) -> tuple[NDArray[np.floating], NDArray[np.int32]]:
    """Join the vertices whose three coordinates are equal bit by bit; 0.0 and -0.0 are equal.

    Vertices are brought together by a hash of their bits and then compared themselves, so a hash
    shared by two places cannot join them.

    Parameters
    ----------
    vertices : (vertices, 3) float32 or float64, finite, any unit.

    Returns
    -------
    places : (places, 3), the distinct ones, in the order of their first mention.
    place_of : (vertices,) int32, index into places.
    """
    exact = np.ascontiguousarray(vertices) + vertices.dtype.type(0)
    head_of = _first_with_same(_hash(exact))
    differs = np.any(exact != np.take(exact, head_of, axis=0), axis=1)
    if differs.any():
        _part_places(exact, head_of, differs)
    is_head = head_of == np.arange(len(exact), dtype=np.int32)
    rank = np.cumsum(is_head, dtype=np.int32) - np.int32(1)
    return exact[is_head], rank[head_of]


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


def _hash(vertices: NDArray[np.floating]) -> NDArray[np.uint64]:
    """64 well-mixed bits per vertex; only speed depends on how well."""
    words: NDArray[np.unsignedinteger] = (
        vertices.view(np.uint32) if vertices.dtype.itemsize == 4 else vertices.view(np.uint64)
    )
    mixed = np.zeros(len(vertices), np.uint64)
    for k, odd in enumerate(_ODD):
        mixed ^= words[:, k]
        mixed *= np.uint64(odd)
        mixed ^= mixed >> np.uint64(32)
    mixed *= np.uint64(_ODD[0])
    return mixed


def _first_with_same(key: NDArray[np.uint64]) -> NDArray[np.int32]:
    """For each vertex, the first one with the same leading bits of its key."""
    place_bits = max(1, (len(key) - 1).bit_length()) if len(key) else 1
    leading = key >> np.uint64(place_bits)
    order = order_of(leading, 64 - place_bits)
    leading = leading[order]
    first = np.ones(len(key), np.bool_)
    np.not_equal(leading[1:], leading[:-1], out=first[1:])
    group = np.cumsum(first, dtype=np.int32) - np.int32(1)
    head_of = np.empty(len(key), np.int32)
    head_of[order] = order[first].astype(np.int32)[group]
    return head_of


def _part_places(
    vertices: NDArray[np.floating],
    head_of: NDArray[np.int32],
    differs: NDArray[np.bool_],
) -> None:
    """Set head_of right, in place, for the groups in which different places share a key."""
    mixed = np.flatnonzero(np.isin(head_of, np.unique(head_of[differs])))
    _, first, place = np.unique(vertices[mixed], axis=0, return_index=True, return_inverse=True)
    head_of[mixed] = mixed[first][place.ravel()]
