"""Cameras: rays and projection undo each other, and stand where their angles say."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from preview.render.view import View

LONG = View((1.0, -2.0, 15.0), 40.0, 25.0, 400.0, 0.05, 60, 80)
FLAT = replace(LONG, distance_mm=math.inf)


@pytest.mark.parametrize("view", [LONG, FLAT, replace(LONG, azimuth_deg=200.0, elevation_deg=-60)])
def test_a_point_along_a_ray_projects_to_its_pixel_and_depth(view: View) -> None:
    origins, directions = view.rays(1)
    far = np.float32(view.lift_mm) + np.linspace(-9, 9, len(origins), dtype=np.float32)
    xy, depth = view.project(origins + directions * far[:, None])
    row, column = np.divmod(np.arange(view.width * view.height), view.width)
    np.testing.assert_allclose(xy, np.stack([column + 0.5, row + 0.5], axis=1), atol=5e-3)
    np.testing.assert_allclose(depth, view.depth(far), atol=5e-4)


def test_the_samples_of_a_pixel_fill_it_evenly_and_follow_each_other() -> None:
    origins, directions = LONG.rays(9, np.array([61, 7], np.int32))
    xy, _ = LONG.project(origins + directions * 400)
    first = xy[:9] - [1, 1]
    thirds = {(x, y) for x in (1, 3, 5) for y in (1, 3, 5)}
    assert {(round(x * 6), round(y * 6)) for x, y in first} == thirds
    np.testing.assert_allclose(xy[9:].mean(axis=0), [7.5, 0.5], atol=1e-3)


@pytest.mark.parametrize(
    ("azimuth", "towards"), [(0, [0, -1, 0]), (90, [1, 0, 0]), (180, [0, 1, 0]), (270, [-1, 0, 0])]
)
def test_azimuth_says_where_the_camera_stands(azimuth: float, towards: list[float]) -> None:
    right, up, back = View((0, 0, 0), azimuth, 0.0, 100.0, 0.1, 10, 10).axes()
    np.testing.assert_allclose(back, towards, atol=1e-12)
    np.testing.assert_allclose(up, [0, 0, 1], atol=1e-12)
    np.testing.assert_allclose(np.cross(right, up), back, atol=1e-12)


def test_the_figures_left_hand_is_on_the_right_of_its_front_view() -> None:
    view = View((0, 0, 0), 0.0, 0.0, 100.0, 0.1, 100, 100)
    xy, _ = view.project(np.array([[2.0, 0.0, 1.0]]))
    assert xy[0, 0] > 50
    assert xy[0, 1] < 50


def test_a_number_of_samples_that_is_no_square_is_refused() -> None:
    with pytest.raises(ValueError, match="square number, got 5"):
        LONG.rays(5)
