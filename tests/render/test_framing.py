"""Framing: everything is in every picture of the turntable, and the picture is filled."""

from __future__ import annotations

import numpy as np
import pytest

from preview.render.framing import around, framing, turntable_views

RNG = np.random.default_rng(11)
TALL = RNG.normal(size=(4000, 3)) * [3.0, 4.0, 9.0] + [1.0, 0.5, 20.0]
WIDE = RNG.normal(size=(4000, 3)) * [12.0, 3.0, 2.0]
SHEET = np.array([[-5.0, 0.0, 0.0], [5.0, 0.0, 0.0], [0.0, 0.0, 8.0]])


@pytest.mark.parametrize("points", [TALL, WIDE, SHEET])
@pytest.mark.parametrize("elevation", [-20.0, 12.0, 75.0])
def test_every_frame_holds_the_whole_sculpt_within_its_margin(
    points: np.ndarray, elevation: float
) -> None:
    front = framing(points, 400, 500, elevation, margin=0.05)
    views = turntable_views(front, 36)
    assert len({(v.target, v.mm_per_pixel, v.distance_mm) for v in views}) == 1
    xy = np.concatenate([view.project(points)[0] for view in views])
    slack = 0.5
    assert xy[:, 0].min() >= 0.05 * 400 - slack
    assert xy[:, 0].max() <= 0.95 * 400 + slack
    assert xy[:, 1].min() >= 0.05 * 500 - slack
    assert xy[:, 1].max() <= 0.95 * 500 + slack


@pytest.mark.parametrize("points", [TALL, WIDE, SHEET])
def test_the_turntable_as_a_whole_fills_the_frame_one_way(points: np.ndarray) -> None:
    front = framing(points, 400, 500, 12.0, margin=0.05)
    xy = np.concatenate([view.project(points)[0] for view in turntable_views(front, 36)])
    filled = np.ptp(xy, axis=0) / [400, 500]
    assert filled.max() == pytest.approx(0.9, abs=0.01)


def test_named_views_share_the_framing_of_the_turntable() -> None:
    front = framing(TALL)
    two = around(front, (("front", 0.0), ("left", 90.0)))
    assert [v.name for v in two] == ["front", "left"]
    table = {v.azimuth_deg: v for v in turntable_views(front, 36)}
    for view in two:
        assert table[view.azimuth_deg].axes()[2] == pytest.approx(view.axes()[2])
        assert table[view.azimuth_deg].mm_per_pixel == view.mm_per_pixel


def test_frames_go_round_evenly_from_the_front() -> None:
    views = turntable_views(framing(TALL), 8)
    assert [v.azimuth_deg for v in views] == [0, 45, 90, 135, 180, 225, 270, 315]
    assert views[3].name == "frame-003"
