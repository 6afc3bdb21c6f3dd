"""How large faces are and which way they face, in one vector each."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.shape.compiled import compiled


def area_vectors(vertices: NDArray[np.floating], faces: NDArray[np.integer]) -> NDArray[np.float64]:
    """(faces, 3) float64: the normal of each face, as long as the face is large.

    Parameters
    ----------
    vertices : (vertices, 3) float, any unit.
    faces : (faces, 3) int.
    """
    vectors = np.empty((len(faces), 3))
    _fill_vectors(vertices, faces, vectors)
    return vectors


@compiled
def _fill_vectors(
    vertices: NDArray[np.floating], faces: NDArray[np.integer], vectors: NDArray[np.float64]
) -> None:
    """Fill in half the cross product of two edges of each face."""
    u, v = np.empty(3), np.empty(3)
    for f in range(len(faces)):
        for k in range(3):
            corner = np.float64(vertices[faces[f, 0], k])
            u[k] = vertices[faces[f, 1], k] - corner
            v[k] = vertices[faces[f, 2], k] - corner
        vectors[f, 0] = 0.5 * (u[1] * v[2] - u[2] * v[1])
        vectors[f, 1] = 0.5 * (u[2] * v[0] - u[0] * v[2])
        vectors[f, 2] = 0.5 * (u[0] * v[1] - u[1] * v[0])


def lengths(vectors: NDArray[np.float64]) -> NDArray[np.float64]:
    """(vectors,) float64: how long each is."""
    return np.asarray(np.sqrt(np.einsum("ij,ij->i", vectors, vectors)), dtype=np.float64)
