"""Sizes and places of single triangles, for meshes of millions."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def longest_edge(vertices: NDArray[np.float32], faces: NDArray[np.int32]) -> NDArray[np.float32]:
    """(faces,) float32: the longest edge of each face."""
    a, b, c = (vertices[faces[:, k]] for k in range(3))
    squares = [np.einsum("fx,fx->f", d, d) for d in (b - a, c - b, a - c)]
    longest = np.maximum(np.maximum(squares[0], squares[1]), squares[2])
    return np.asarray(np.sqrt(longest), dtype=np.float32)


def middles(vertices: NDArray[np.float32], faces: NDArray[np.int32]) -> NDArray[np.float32]:
    """(faces, 3) float32: the middle of each face."""
    total = vertices[faces[:, 0]] + vertices[faces[:, 1]]
    total += vertices[faces[:, 2]]
    total *= np.float32(1 / 3)
    return total
