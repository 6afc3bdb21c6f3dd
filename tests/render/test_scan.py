"""The renderer that draws on the processor, held to the rays and to plain geometry."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import trimesh

from preview.areas.load import load_sculpt
from preview.areas.sculpt import Sculpt
from preview.render.framing import framing, turntable_views
from preview.render.rays import RayRenderer
from preview.render.scan import ScanRenderer
from preview.render.view import View
from tests.render.agreement import BODIES, compare, grid, sculpt_named

FLAT = View((0.5, 0.0, 1.0), 25.0, 40.0, math.inf, 0.06, 480, 400, "flat")


@pytest.mark.parametrize("azimuth", [0.0, 130.0])
@pytest.mark.parametrize("body", BODIES)
def test_it_sees_the_areas_and_depths_that_rays_see(
    body: str,
    azimuth: float,
    sculpt_of_body: Callable[..., Sculpt],
    record_testsuite_property: Callable[[str, object], None],
) -> None:
    sculpt = sculpt_named(body, sculpt_of_body)
    front = framing(sculpt.vertices, 500, 500, elevation_deg=18.0)
    renderer = ScanRenderer(sculpt.vertices, sculpt.faces)
    for view in (front, replace(front, distance_mm=math.inf)):
        turned = replace(view, azimuth_deg=azimuth)
        compare(renderer, sculpt, turned, record_testsuite_property)


@pytest.mark.outside_meshes
def test_it_agrees_with_rays_on_a_figure_by_others(
    outside_mesh: Callable[[str], Path],
    record_testsuite_property: Callable[[str, object], None],
) -> None:
    sculpt = load_sculpt(outside_mesh("q_King.glb"))
    renderer = ScanRenderer(sculpt.vertices, sculpt.faces)
    for view in turntable_views(framing(sculpt.vertices, 500, 500), 36)[4:36:12]:
        compare(renderer, sculpt, view, record_testsuite_property)


def test_places_on_faces_are_those_of_rays() -> None:
    ring = trimesh.creation.torus(9.0, 3.0, major_sections=60, minor_sections=30)
    view = replace(FLAT, distance_mm=300.0)
    drawn = ScanRenderer(ring.vertices, ring.faces).see(view)
    face, distance, bary = RayRenderer(ring.vertices, ring.faces).scene.first_hit(*view.rays())
    same = (grid(drawn, drawn.face, -1).ravel() == face) & (face >= 0)
    assert same.sum() / (face >= 0).sum() > 0.995
    for corner in (0, 1):
        mine = grid(drawn, drawn.bary[:, corner], 0.0).ravel()
        assert np.abs(mine - bary[:, corner])[same].max() < 0.01
    apart = np.abs(grid(drawn, drawn.depth, 0.0).ravel() - distance)[same]
    assert np.quantile(apart, 0.999) < 2e-3


def test_a_closed_body_has_no_pinholes() -> None:
    ball = trimesh.creation.icosphere(subdivisions=6, radius=9.0)
    view = View((0.0, 0.0, 0.0), 10.0, 20.0, math.inf, 0.02, 1000, 1000)
    number = ScanRenderer(ball.vertices, ball.faces).draw(view).number.reshape(1000, 1000)
    row, column = np.indices(number.shape) - 499.5
    inside = np.hypot(row, column) * 0.02 < 8.99
    assert (number[inside] >= 0).all()
    assert (number[np.hypot(row, column) * 0.02 > 9.001] < 0).all()


def test_a_hollow_without_a_lid_shows_its_inner_wall() -> None:
    box = trimesh.creation.box(extents=(10.0, 10.0, 10.0))
    open_box = box.faces[box.face_normals[:, 2] < 0.9]
    view = View((0.0, 0.0, 0.0), 0.0, 89.9, math.inf, 0.05, 240, 240)
    drawn = ScanRenderer(box.vertices, open_box).see(view)
    floor = grid(drawn, drawn.depth, np.nan)[60:180, 60:180]
    assert floor == pytest.approx(5.0, abs=0.05)


def test_the_samples_of_a_pixel_average_to_its_share() -> None:
    box = trimesh.creation.box(extents=(8.0, 8.0, 8.0))
    view = View((0.0, 0.0, 0.0), 0.0, 0.0, math.inf, 0.0625, 200, 200)
    drawn = ScanRenderer(box.vertices, box.faces).see(view, 16)
    assert drawn.weight.sum() * 0.0625**2 == pytest.approx(64.0, rel=2e-3)


def test_what_reaches_behind_the_eye_is_left_out_and_the_rest_is_drawn() -> None:
    ball = trimesh.creation.icosphere(subdivisions=3, radius=4.0)
    far = trimesh.Trimesh([[-90.0, -60.0, 1.0], [90.0, -60.0, 1.0], [0.0, 90.0, 1.0]], [[0, 1, 2]])
    both = trimesh.util.concatenate([ball, far])
    view = View((0.0, 0.0, 0.0), 0.0, 0.0, 40.0, 0.05, 200, 200)
    seen = ScanRenderer(both.vertices, both.faces).see(view)
    assert len(seen.face) > 15_000
    assert seen.face.max() < len(ball.faces)
    assert (seen.depth > 35).all()


def test_a_number_of_samples_that_is_no_square_is_refused() -> None:
    box = trimesh.creation.box(extents=(1.0, 1.0, 1.0))
    with pytest.raises(ValueError, match="square number, got 3"):
        ScanRenderer(box.vertices, box.faces).see(FLAT, 3)


def test_the_same_twice() -> None:
    ring = trimesh.creation.torus(8.0, 3.0)
    first, second = (ScanRenderer(ring.vertices, ring.faces).see(FLAT, 4) for _ in range(2))
    for field in ("pixel", "weight", "face", "bary", "depth"):
        assert getattr(first, field).tobytes() == getattr(second, field).tobytes()
