"""Faces that can be seen from some direction; those inside a figure cannot."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.shape.rays import RayScene

_DIRECTIONS = 64
_STEP = 1e-4


def exposed_faces(
    vertices: NDArray[np.float32], faces: NDArray[np.int32], open_to_both: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """Which faces some direction sees, from either side where a shell is open."""
    scene = RayScene(vertices, faces)
    a, b, c = (vertices[faces[:, k]] for k in range(3))
    cross = np.cross(b - a, c - a)
    length = np.linalg.norm(cross, axis=1, keepdims=True)
    normal = cross / np.where(length > 0, length, 1)
    start = (a + b + c) / np.float32(3)
    step = np.float32(_STEP * float(np.ptp(vertices, axis=0).max()))
    exposed = np.zeros(len(faces), np.bool_)
    for direction in even_directions(_DIRECTIONS):
        for side in (1, -1):
            facing = side * (normal @ direction) > 0.02
            rows = np.flatnonzero(~exposed & facing & (open_to_both | (side == 1)))
            if not len(rows):
                continue
            origin = start[rows] + normal[rows] * np.float32(side * step)
            exposed[rows[~scene.blocked(origin, direction[None])]] = True
    return exposed


def even_directions(count: int) -> NDArray[np.float32]:
    """(count, 3) float32 unit vectors spread evenly over the sphere, in a spiral."""
    k = np.arange(count) + 0.5
    height = 1 - 2 * k / count
    turn = np.pi * (1 + np.sqrt(5)) * k
    across = np.sqrt(1 - height**2)
    spread = np.stack((across * np.cos(turn), across * np.sin(turn), height), axis=1)
    return spread.astype(np.float32)
