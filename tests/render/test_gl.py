"""Drawing and casting rays see the same, away from outlines and borders."""

from __future__ import annotations

import math
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import trimesh

from preview.areas.load import load_sculpt
from preview.areas.sculpt import Sculpt
from preview.errors import CannotDo
from preview.render.framing import framing, turntable_views
from preview.render.gl import GlRenderer
from preview.render.gl_probe import Probe
from preview.render.rays import RayRenderer
from preview.render.view import View
from tests.render.agreement import BODIES, compare, grid, sculpt_named

pytestmark = pytest.mark.gl


@pytest.mark.parametrize("azimuth", [0.0, 130.0])
@pytest.mark.parametrize("body", BODIES)
def test_both_renderers_see_the_same_areas_and_depths(
    body: str,
    azimuth: float,
    gl_here: Probe,
    sculpt_of_body: Callable[..., Sculpt],
    record_testsuite_property: Callable[[str, object], None],
) -> None:
    sculpt = sculpt_named(body, sculpt_of_body)
    front = framing(sculpt.vertices, 500, 500, elevation_deg=18.0)
    compare(
        GlRenderer(sculpt.vertices, sculpt.faces),
        sculpt,
        replace(front, azimuth_deg=azimuth),
        record_testsuite_property,
    )


@pytest.mark.outside_meshes
def test_both_renderers_agree_on_a_figure_by_others(
    gl_here: Probe,
    outside_mesh: Callable[[str], Path],
    record_testsuite_property: Callable[[str, object], None],
) -> None:
    sculpt = load_sculpt(outside_mesh("q_King.glb"))
    front = framing(sculpt.vertices, 500, 500)
    for view in turntable_views(front, 36)[4:36:12]:
        compare(GlRenderer(sculpt.vertices, sculpt.faces), sculpt, view, record_testsuite_property)


def test_they_agree_without_perspective_too(
    gl_here: Probe,
    sculpt_of_body: Callable[..., Sculpt],
    record_testsuite_property: Callable[[str, object], None],
) -> None:
    ring = trimesh.creation.torus(9.0, 3.0, major_sections=200, minor_sections=80)
    sculpt = sculpt_of_body(ring, lambda at: (at[:, 0] > 0).astype(int))
    view = View((0.5, 0.0, 1.0), 25.0, 40.0, math.inf, 0.06, 480, 400, "flat")
    compare(GlRenderer(sculpt.vertices, sculpt.faces), sculpt, view, record_testsuite_property)


def test_places_on_faces_are_the_same(gl_here: Probe) -> None:
    ring = trimesh.creation.torus(9.0, 3.0, major_sections=60, minor_sections=30)
    view = View((0.0, 0.0, 0.0), 25.0, 40.0, 300.0, 0.06, 480, 400)
    drawn = GlRenderer(ring.vertices, ring.faces).see(view)
    cast = RayRenderer(ring.vertices, ring.faces).see(view)
    face_drawn, face_cast = grid(drawn, drawn.face, -1), grid(cast, cast.face, -1)
    same = (face_drawn == face_cast) & (face_cast >= 0)
    assert same.sum() / (face_cast >= 0).sum() > 0.995
    for corner in (0, 1):
        one, two = grid(drawn, drawn.bary[:, corner], 0), grid(cast, cast.bary[:, corner], 0)
        assert np.abs(one - two)[same].max() < 0.01
    assert drawn.bary.min() >= 0
    assert drawn.bary.sum(axis=1).max() <= 1 + 1e-6


def test_samples_fill_their_pixel_like_those_of_rays(gl_here: Probe) -> None:
    ball = trimesh.creation.icosphere(subdivisions=4, radius=9.0)
    view = View((0.0, 0.0, 0.0), 10.0, 20.0, math.inf, 0.2, 120, 110)
    drawn = GlRenderer(ball.vertices, ball.faces).see(view, 4)
    cast = RayRenderer(ball.vertices, ball.faces).see(view, 4)
    share = [np.bincount(seen.pixel, seen.weight, 120 * 110) for seen in (drawn, cast)]
    assert np.abs(share[0] - share[1]).max() <= 0.25
    assert np.abs(share[0] - share[1]).sum() < 2


def test_face_numbers_beyond_two_bytes_come_through(gl_here: Probe) -> None:
    ball = trimesh.creation.icosphere(subdivisions=7, radius=9.0)
    assert len(ball.faces) > 2 * 65536
    view = View((0.0, 0.0, 0.0), 0.0, 89.0, math.inf, 0.05, 400, 400)
    drawn = GlRenderer(ball.vertices, ball.faces).see(view)
    _, _, back = view.axes()
    # Every face seen is one that looks at the camera, and its middle is near its pixel.
    assert (ball.face_normals[drawn.face] @ back > -0.02).all()
    xy, _ = view.project(ball.triangles_center[drawn.face])
    middle = np.stack([drawn.pixel % 400 + 0.5, drawn.pixel // 400 + 0.5], axis=1)
    assert np.abs(xy - middle).max() < 3


def test_both_sides_of_an_open_sheet_are_seen(gl_here: Probe) -> None:
    vertices = np.array([[-5, 0, -5], [5, 0, -5], [0, 0, 5]], np.float32)
    renderer = GlRenderer(vertices, np.array([[0, 1, 2]], np.int32))
    for azimuth in (0.0, 180.0):
        seen = renderer.see(View((0.0, 0.0, 0.0), azimuth, 0.0, 200.0, 0.2, 100, 100))
        assert len(seen.pixel) * 0.04 == pytest.approx(50.0, rel=0.02)
        assert (seen.face == 0).all()


def test_a_picture_too_large_is_refused_with_a_way_out(gl_here: Probe) -> None:
    ball = trimesh.creation.icosphere(subdivisions=1)
    view = View((0.0, 0.0, 0.0), 0.0, 0.0, math.inf, 0.05, 5000, 100, "wide")
    with pytest.raises(CannotDo, match="10000 x 200 samples") as caught:
        GlRenderer(ball.vertices, ball.faces).see(view, 4)
    assert "scan" in caught.value.faults[0].fix


def test_renderers_come_and_go_and_any_thread_may_ask(gl_here: Probe) -> None:
    view = View((0.0, 0.0, 0.0), 0.0, 0.0, math.inf, 0.2, 120, 110)
    counts = []
    for radius in (4.0, 8.0):
        ball = trimesh.creation.icosphere(subdivisions=3, radius=radius)
        counts.append(len(GlRenderer(ball.vertices, ball.faces).see(view).pixel))
    assert counts[1] == pytest.approx(4 * counts[0], rel=0.03)
    renderer = GlRenderer(ball.vertices, ball.faces)
    views = [replace(view, azimuth_deg=float(a), width=100 + a) for a in range(0, 80, 10)]
    with ThreadPoolExecutor(max_workers=4) as pool:
        together = [len(seen.pixel) for seen in pool.map(renderer.see, views)]
    assert together == [len(renderer.see(v).pixel) for v in views]
