"""Sizes and places of single triangles, for meshes of millions."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.shape.compiled import compiled


def longest_edge(vertices: NDArray[np.float32], faces: NDArray[np.int32]) -> NDArray[np.float32]:
    """(faces,) float32: the longest edge of each face."""
    longest = np.empty(len(faces), np.float32)
    _longest(vertices, faces, longest)
    return longest


def middles(vertices: NDArray[np.float32], faces: NDArray[np.int32]) -> NDArray[np.float32]:
    """(faces, 3) float32: the middle of each face."""
    middle = np.empty((len(faces), 3), np.float32)
    _middles(vertices, faces, middle)
    return middle


@compiled
def _longest(
    vertices: NDArray[np.float32], faces: NDArray[np.int32], longest: NDArray[np.float32]
) -> None:
    """Fill in the longest edge of each face."""
    for f in range(len(faces)):
        most = np.float32(0.0)
        for k in range(3):
            square = np.float32(0.0)
            for x in range(3):
                along = vertices[faces[f, k], x] - vertices[faces[f, k - 1], x]
                square += along * along
            most = max(most, square)
        longest[f] = np.sqrt(most)


@compiled
def _middles(
    vertices: NDArray[np.float32], faces: NDArray[np.int32], middle: NDArray[np.float32]
) -> None:
    """Fill in the mean of the corners of each face."""
    third = np.float32(1 / 3)
    for f in range(len(faces)):
        for x in range(3):
            total = vertices[faces[f, 0], x] + vertices[faces[f, 1], x]
            middle[f, x] = (total + vertices[faces[f, 2], x]) * third
