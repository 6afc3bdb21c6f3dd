"""Few points that stand for a surface: none of it is far from them, no pixel of it is missed."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh
from scipy.spatial import cKDTree

from preview.shape.cells import SurfaceCells, pixels_near

BODIES = {
    "sphere": trimesh.creation.icosphere(subdivisions=4, radius=9.0),
    "box of twelve faces": trimesh.creation.box(extents=(3.0, 40.0, 12.0)),
    "needle": trimesh.creation.cone(radius=0.4, height=30.0, sections=7),
}


@pytest.mark.parametrize("name", BODIES)
def test_every_point_of_the_surface_is_within_reach(name: str) -> None:
    body = BODIES[name]
    cells = SurfaceCells(body.vertices.astype(np.float32), body.faces.astype(np.int32))
    surface, _ = trimesh.sample.sample_surface(body, 3000, seed=4)
    nearest, _ = cKDTree(cells.points).query(surface)
    assert nearest.max() <= cells.reach
    assert len(cells.points) < 40_000


def test_unused_vertices_do_not_count() -> None:
    body = trimesh.creation.box(extents=(1.0, 1.0, 1.0))
    stray = np.concatenate([body.vertices, np.full((200, 3), 50.0)]).astype(np.float32)
    cells = SurfaceCells(stray, body.faces.astype(np.int32))
    assert np.abs(cells.points).max() < 1.0


def test_pixels_near_holds_all_pixels_within_reach_even_of_points_outside() -> None:
    rng = np.random.default_rng(3)
    xy = rng.uniform(-30, 130, (40, 2)).astype(np.float32)
    row, column = np.divmod(np.arange(100 * 90), 100)
    middle = np.stack([column + 0.5, row + 0.5], axis=1)
    near = np.linalg.norm(middle[:, None] - xy[None], axis=2).min(axis=1) <= 7.0
    chosen = pixels_near(xy, 7.0, 100, 90)
    assert np.isin(np.flatnonzero(near), chosen).all()
    assert len(chosen) < 9000
    assert (np.diff(chosen) > 0).all()
