"""Bodies whose pictures are known by geometry."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Mesh = tuple[NDArray[np.float32], NDArray[np.int32]]


def sphere(subdivisions: int = 5, radius: float = 10.0) -> Mesh:
    """A geodesic sphere around the origin."""
    import trimesh

    ball = trimesh.creation.icosphere(subdivisions=subdivisions, radius=radius)
    return ball.vertices.astype(np.float32), ball.faces.astype(np.int32)


def box(extents: tuple[float, float, float], turn_deg: float = 0.0) -> Mesh:
    """A box around the origin, turned about z."""
    import trimesh

    turn = trimesh.transformations.rotation_matrix(np.radians(turn_deg), [0, 0, 1])
    body = trimesh.creation.box(extents=extents, transform=turn)
    return body.vertices.astype(np.float32), body.faces.astype(np.int32)


def torus(major: float = 8.0, minor: float = 3.0) -> Mesh:
    """A torus around z."""
    import trimesh

    ring = trimesh.creation.torus(major, minor, major_sections=96, minor_sections=48)
    return ring.vertices.astype(np.float32), ring.faces.astype(np.int32)
