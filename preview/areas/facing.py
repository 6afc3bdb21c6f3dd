"""How large faces are and which way they face, in one vector each."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def area_vectors(vertices: NDArray[np.floating], faces: NDArray[np.integer]) -> NDArray[np.float64]:
    """(faces, 3) float64: the normal of each face, as long as the face is large.

    Parameters
    ----------
    vertices : (vertices, 3) float, any unit.
    faces : (faces, 3) int.
    """
    # Column by column: twice as fast as a cross product of rows.
    x, y, z = (np.ascontiguousarray(vertices[:, k], dtype=np.float64) for k in range(3))
    a, b, c = (np.ascontiguousarray(faces[:, k]) for k in range(3))
    ux, uy, uz = x[b] - x[a], y[b] - y[a], z[b] - z[a]
    vx, vy, vz = x[c] - x[a], y[c] - y[a], z[c] - z[a]
    cross = np.empty((len(faces), 3))
    cross[:, 0] = uy * vz - uz * vy
    cross[:, 1] = uz * vx - ux * vz
    cross[:, 2] = ux * vy - uy * vx
    cross *= 0.5
    return cross


def lengths(vectors: NDArray[np.float64]) -> NDArray[np.float64]:
    """(vectors,) float64: how long each is."""
    return np.asarray(np.sqrt(np.einsum("ij,ij->i", vectors, vectors)), dtype=np.float64)
