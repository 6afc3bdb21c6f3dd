"""Painting: the table of a scheme, coverage on the faces, and what the lamp may not change."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from preview.areas.sculpt import Sculpt
from preview.flow import Stand, paint_sculpt
from preview.light.lightmap import Rig
from preview.paint.coverage import coverage
from preview.paint.lamp import Lamp, light_samples
from preview.paint.picture import gather_picture, on_backdrop, with_alpha
from preview.paint.table import LEVELS, colour_travel, level_of_tone
from preview.ramp.scheme import Scheme
from preview.render.framing import framing
from preview.render.seen import Seen
from preview.render.view import View


def test_tone_finds_the_nearest_row() -> None:
    tone = np.array([-0.5, 0.0, 0.5, 1.0, 2.0], dtype=np.float32)
    assert level_of_tone(tone).tolist() == [0, 0, 128, LEVELS - 1, LEVELS - 1]


def test_a_sphere_under_open_sky_is_covered_as_geometry_says(ball: Sculpt, layered: Scheme) -> None:
    """On a sphere the sky term (1 + nz) / 2 is uniform (Archimedes' hat-box theorem)."""
    open_sky = Rig("open sky", sky=1.0, spread=0.0)
    painted = paint_sculpt(Stand(ball, "rays"), layered, rig=open_sky)
    ramp = layered.ramps["plain"]
    begins = [step.begins for step in ramp.steps] + [1.0]
    for number, step in enumerate(ramp.steps):
        share = begins[number + 1] - max(begins[number], 0.0)
        assert painted.coverage[0].steps[step.name] == pytest.approx(share, abs=0.01)


def test_coverage_counts_visible_faces_only(ball: Sculpt, layered: Scheme) -> None:
    tone = np.where(ball.normal[:, 2] > 0, 1.0, 0.0).astype(np.float32)
    half = replace(ball, exposed=ball.normal[:, 2] > 0)
    rows = coverage(half, [layered.ramps["plain"]], tone)
    assert rows[0].groups["highlight"] == pytest.approx(1.0)
    assert rows[0].mm2 == pytest.approx(float(half.mm2[half.exposed].sum()), rel=1e-6)
    assert rows[0].share == pytest.approx(1.0)


def test_paper_white_facing_the_lamp_is_one_whatever_the_room(ball: Sculpt) -> None:
    stand = Stand(ball, "rays")
    surface = stand.surface(Rig("open sky"))
    view = framing(ball.vertices, 200, 200, elevation_deg=80.0)
    seen = stand.renderer.see(view, 1)
    for room in (0.2, 0.7):
        lamp = Lamp(right_deg=0.0, above_deg=0.0, room=room)
        lit = light_samples(seen, surface, lambda: stand.sculpt.rays, lamp)
        assert lit.diffuse.max() == pytest.approx(1.0, abs=0.02)
        assert lit.diffuse.min() >= 0.0


def test_a_pixel_is_the_mean_of_its_samples_in_linear_light() -> None:
    view = View((0.0, 0.0, 0.0), 0.0, 0.0, 100.0, 1.0, 2, 1)
    seen = Seen(
        view=view,
        pixel=np.array([0, 0, 1], dtype=np.int32),
        weight=np.array([0.5, 0.5, 0.25], dtype=np.float32),
        face=np.zeros(3, dtype=np.int32),
        bary=np.zeros((3, 2), dtype=np.float32),
        depth=np.zeros(3, dtype=np.float32),
    )
    light = np.array([[0.0] * 3, [1.0] * 3, [1.0] * 3], dtype=np.float32)
    picture = gather_picture(seen, light)
    shown = on_backdrop(picture, np.zeros(3, dtype=np.float32))
    # Linear 0.5 is 188 and 0.25 is 137 in sRGB (IEC 61966-2-1).
    assert shown[0, 0].tolist() == [188] * 3
    assert shown[0, 1].tolist() == [137] * 3
    clear = with_alpha(picture)
    assert clear[0, 0].tolist() == [188, 188, 188, 255]
    assert clear[0, 1].tolist() == [255, 255, 255, 64]


def test_colour_travels_in_jumps_where_layered_and_smoothly_where_blended(layered: Scheme) -> None:
    hard = layered.ramps["plain"]
    (way,) = colour_travel([[hard]])
    tones = np.linspace(0, 1, LEVELS)
    assert (way == np.searchsorted([0.35, 0.7, 0.9], tones, "right")).all()
    soft = replace(hard, edges="blended", blend_width=0.1)
    (way,) = colour_travel([[soft]])
    assert np.diff(way).max() < 0.1
    assert way[np.argmin(np.abs(tones - 0.35))] == pytest.approx(0.5, abs=0.05)
    assert way[-1] == pytest.approx(3)
    (both,) = colour_travel([[hard], [soft]])
    assert (np.diff(both) >= np.diff(way) - 1e-6).all()
    assert (colour_travel([[None]]) == 0).all()
