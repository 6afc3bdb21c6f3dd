"""What rays see of bodies whose outlines are known by geometry."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import trimesh

from preview.render.rays import RayRenderer
from preview.render.view import View

FLAT = View((0.0, 0.0, 0.0), 30.0, 20.0, math.inf, 0.05, 500, 500)


def covered_mm2(body: trimesh.Trimesh, view: View, samples: int = 4) -> float:
    seen = RayRenderer(body.vertices, body.faces).see(view, samples)
    return float(seen.weight.sum()) * view.mm_per_pixel**2


def test_a_sphere_covers_pi_r_squared_from_anywhere() -> None:
    ball = trimesh.creation.icosphere(subdivisions=6, radius=10.0)
    # The outline is that of a fine polyhedron, a little within the circle, and of counted
    # samples, whose error falls with the length of the outline over the pixels: 0.02 %.
    assert covered_mm2(ball, FLAT) == pytest.approx(math.pi * 100, rel=1e-3)
    assert covered_mm2(ball, replace(FLAT, azimuth_deg=200.0, elevation_deg=-50.0)) == (
        pytest.approx(math.pi * 100, rel=1e-3)
    )


def test_a_sphere_seen_from_nearby_covers_its_tangent_cone() -> None:
    # Cone of half angle asin(r / d): at the target's depth a circle of radius d tan(angle).
    distance, radius = 40.0, 10.0
    ball = trimesh.creation.icosphere(subdivisions=6, radius=radius)
    view = replace(FLAT, distance_mm=distance)
    outline = distance * math.tan(math.asin(radius / distance))
    assert covered_mm2(ball, view) == pytest.approx(math.pi * outline**2, rel=1e-3)


def test_a_box_turned_by_45_degrees_is_its_diagonal_wide() -> None:
    turn = trimesh.transformations.rotation_matrix(math.radians(45), [0, 0, 1])
    box = trimesh.creation.box(extents=(8.0, 8.0, 6.0), transform=turn)
    front = replace(FLAT, azimuth_deg=0.0, elevation_deg=0.0)
    assert covered_mm2(box, front) == pytest.approx(8 * math.sqrt(2) * 6, rel=2e-3)
    # Face on it is 8 wide; from above it is its square.
    assert covered_mm2(box, replace(front, azimuth_deg=45.0)) == pytest.approx(48, rel=2e-3)
    assert covered_mm2(box, replace(front, elevation_deg=89.99)) == pytest.approx(64, rel=2e-3)


@pytest.mark.parametrize("distance", [math.inf, 300.0, 30.0])
def test_the_pixels_left_out_see_nothing(distance: float) -> None:
    ring = trimesh.creation.torus(8.0, 0.4)
    renderer = RayRenderer(ring.vertices, ring.faces)
    view = replace(FLAT, width=200, height=160, mm_per_pixel=0.15, distance_mm=distance)
    face, _, _ = renderer.scene.first_hit(*view.rays())
    assert (face == renderer.draw(view).number).all()
    assert (face >= 0).sum() > 1000


def test_place_on_the_face_and_depth_agree_with_the_projection() -> None:
    ring = trimesh.creation.torus(8.0, 3.0)
    view = replace(FLAT, distance_mm=250.0)
    seen = RayRenderer(ring.vertices, ring.faces).see(view)
    weights = np.column_stack([1 - seen.bary.sum(axis=1), seen.bary])
    place = np.einsum("sc,scx->sx", weights, ring.triangles[seen.face])
    xy, depth = view.project(place)
    # float32 at 250 mm resolves 3e-5 mm; faces seen edge on multiply it.
    np.testing.assert_allclose(depth, seen.depth, atol=0.02)
    assert np.quantile(np.abs(depth - seen.depth), 0.999) < 5e-4
    middle = np.stack([seen.pixel % 500 + 0.5, seen.pixel // 500 + 0.5], axis=1)
    assert np.quantile(np.abs(xy - middle), 0.999) < 0.05


def test_the_same_twice() -> None:
    ring = trimesh.creation.torus(8.0, 3.0)
    first, second = (RayRenderer(ring.vertices, ring.faces).see(FLAT, 4) for _ in range(2))
    for field in ("pixel", "weight", "face", "bary", "depth"):
        assert getattr(first, field).tobytes() == getattr(second, field).tobytes()
