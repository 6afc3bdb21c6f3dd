"""Faces in an order in which those that lie together stand together."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.shape.bounds import bounds
from preview.shape.compiled import compiled
from preview.shape.ordering import order_of

_BITS = 10

Floats = NDArray[np.floating]
Ints = NDArray[np.int32]


def along_curve(vertices: Floats, faces: Ints) -> NDArray[np.int64]:
    """The faces along a curve that fills space: (faces,) int64, the number of each in turn.

    Parameters
    ----------
    vertices : (vertices, 3) float, any one unit of length.
    faces : (faces, 3) int32.

    References
    ----------
    Morton (1966), "A computer oriented geodetic data base and a new technique in file sequencing",
    IBM; from memory.
    """
    low, high = bounds(vertices)
    reach = max(float((high - low).max()), 1e-9)
    key = np.empty(len(faces), np.uint64)
    _keys(vertices, faces, low, ((1 << _BITS) - 1) / (3 * reach), key)
    return order_of(key, 3 * _BITS)


def renumbered(vertices: Floats, faces: Ints) -> tuple[Floats, Ints]:
    """The same mesh with its vertices in the order in which the faces name them; unused ones go."""
    new = np.full(len(vertices), -1, np.int32)
    old = np.empty(len(vertices), np.int32)
    named = np.empty_like(faces)
    used = _rename(faces, new, old, named)
    return np.take(vertices, old[:used], axis=0), named


@compiled
def _keys(
    vertices: Floats, faces: Ints, low: Floats, scale: float, key: NDArray[np.uint64]
) -> None:
    """Fill in the place of each face's middle on the curve: the bits of x, y and z by turns."""
    for f in range(len(faces)):
        code = 0
        for k in range(3):
            total = vertices[faces[f, 0], k] + vertices[faces[f, 1], k] + vertices[faces[f, 2], k]
            step = int((total - 3.0 * low[k]) * scale)
            for bit in range(_BITS):
                code |= ((step >> bit) & 1) << (3 * bit + k)
        key[f] = code


@compiled
def _rename(faces: Ints, new: Ints, old: Ints, named: Ints) -> int:
    """Number the vertices by first use; gives how many there are."""
    used = 0
    for f in range(len(faces)):
        for k in range(3):
            vertex = faces[f, k]
            if new[vertex] < 0:
                new[vertex] = used
                old[used] = vertex
                used += 1
            named[f, k] = new[vertex]
    return used
