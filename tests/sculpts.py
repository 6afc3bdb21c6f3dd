"""Small sculpts with known geometry, for tests."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Placement, Sculpt


def sculpt_of(
    vertices: NDArray[np.floating],
    faces: NDArray[np.integer],
    area: NDArray[np.integer] | None = None,
    names: tuple[str, ...] = ("plain",),
) -> Sculpt:
    """A sculpt of the given triangles, all visible, standing on z = 0."""
    points = np.array(vertices, dtype=np.float32)
    points[:, 2] -= points[:, 2].min()
    height = float(np.ptp(points[:, 2]))
    return Sculpt(
        name="test body",
        vertices=points,
        faces=np.asarray(faces, dtype=np.int32),
        area=np.zeros(len(faces), np.int32) if area is None else np.asarray(area, np.int32),
        area_names=names,
        source_face=np.arange(len(faces)),
        exposed=np.ones(len(faces), dtype=np.bool_),
        placement=Placement(1.0, "mm", "z", "made by a test", height),
        areas_from="a test",
    )


def sphere_mesh(radius: float = 15.0, subdivisions: int = 5) -> tuple[np.ndarray, np.ndarray]:
    """Vertices and faces of a sphere of nearly equal triangles."""
    import trimesh

    mesh = trimesh.creation.icosphere(subdivisions=subdivisions, radius=radius)
    return np.asarray(mesh.vertices), np.asarray(mesh.faces)
