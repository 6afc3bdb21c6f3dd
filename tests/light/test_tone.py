"""Tone: weights, spreading within areas, and smooth corners that stop at borders."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import trimesh

from preview.areas.sculpt import Sculpt
from preview.light.lightmap import LightMap, Rig
from preview.light.rigs import DEFAULT_RIG, RIGS
from preview.light.spread import spread_within_areas
from preview.light.tone import corner_tone, face_tone, raw_tone
from tests.sculpts import sculpt_of

RNG = np.random.default_rng(12)


def levels(*values: float) -> np.ndarray:
    return np.array(values, np.float32)


LIGHT = LightMap(
    sky=levels(0.2, 0.8, 1.0, 0.0),
    key=levels(0.6, 0.0, 1.0, 0.0),
    recess=levels(0.0, 0.5, 0.0, 1.0),
    edge=levels(0.5, 0.0, 1.0, 0.0),
)


def test_lights_are_averaged_by_weight_then_relief_comes_on_top() -> None:
    rig = Rig("r", sky=1.0, key=3.0, recess=0.4, edge=0.2)
    expected = [0.25 * 0.2 + 0.75 * 0.6 + 0.1, 0.25 * 0.8 - 0.2, 1.0, 0.0]
    np.testing.assert_allclose(raw_tone(LIGHT, rig), expected, atol=1e-6)


def test_only_the_ratio_of_the_lights_counts() -> None:
    one = raw_tone(LIGHT, Rig("a", sky=0.5, key=0.25))
    np.testing.assert_allclose(one, raw_tone(LIGHT, Rig("b", sky=4.0, key=2.0)), atol=1e-6)


def test_a_rig_without_light_is_refused() -> None:
    with pytest.raises(ValueError, match="above 0"):
        raw_tone(LIGHT, Rig("dark", sky=0.0, key=0.0))


def striped(faces: int = 20_000) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Tones of two areas, one bright and one in the shade, and sizes."""
    area = (np.arange(faces) % 2).astype(np.int32)
    tone = np.where(area == 0, RNG.uniform(0.5, 0.9, faces), RNG.beta(2, 5, faces) * 0.3)
    return tone.astype(np.float32), area, RNG.uniform(0.1, 1.0, faces).astype(np.float32)


def test_spread_0_changes_nothing() -> None:
    tone, area, size = striped()
    assert spread_within_areas(tone, area, 2, size, 0.0) is tone


def test_spread_1_lets_every_area_show_its_whole_ramp() -> None:
    tone, area, size = striped()
    spread = spread_within_areas(tone, area, 2, size, 1.0)
    for k in (0, 1):
        dark, light = np.quantile(spread[area == k], [0.02, 0.98])
        assert dark < 0.05
        assert light > 0.95
        for low in np.arange(0.0, 1.0, 0.25):
            inside = (spread[area == k] >= low) & (spread[area == k] < low + 0.25)
            assert size[area == k][inside].sum() / size[area == k].sum() > 0.1


@pytest.mark.parametrize("amount", [0.3, 1.0])
def test_order_within_an_area_stays(amount: float) -> None:
    tone, area, size = striped()
    spread = spread_within_areas(tone, area, 2, size, amount)
    for k in (0, 1):
        order = np.argsort(tone[area == k], kind="stable")
        assert np.diff(spread[area == k][order]).min() >= -1e-6
    assert spread.min() >= 0
    assert spread.max() <= 1


def test_areas_do_not_touch_each_other() -> None:
    tone, area, size = striped()
    alone = spread_within_areas(tone[::2], area[::2], 1, size[::2], 0.8)
    np.testing.assert_array_equal(spread_within_areas(tone, area, 2, size, 0.8)[::2], alone)


def test_faces_without_size_do_not_count() -> None:
    tone, area, size = striped()
    with_hidden = np.concatenate([tone, np.zeros(9000, np.float32)])
    areas = np.concatenate([area, np.zeros(9000, np.int32)])
    sizes = np.concatenate([size, np.zeros(9000, np.float32)])
    np.testing.assert_array_equal(
        spread_within_areas(with_hidden, areas, 2, sizes, 1.0)[: len(tone)],
        spread_within_areas(tone, area, 2, size, 1.0),
    )


def test_an_even_area_and_an_empty_one_keep_their_tone() -> None:
    tone = np.full(50, 0.37, np.float32)
    area = np.zeros(50, np.int32)
    spread = spread_within_areas(tone, area, 2, np.ones(50, np.float32), 1.0)
    np.testing.assert_allclose(spread, 0.37, atol=0.02)


def half_sphere() -> Sculpt:
    """A sphere whose left half is another area."""
    ball = trimesh.creation.icosphere(subdivisions=3, radius=10.0)
    left = (ball.triangles_center[:, 0] > 0).astype(np.int32)
    return sculpt_of(ball.vertices, ball.faces, left, ("right", "left"))


def test_corners_average_their_own_area_only() -> None:
    sculpt = half_sphere()
    tone = np.where(sculpt.area == 1, 0.9, 0.2).astype(np.float32)
    np.testing.assert_allclose(
        corner_tone(tone, sculpt), np.repeat(tone[:, None], 3, axis=1), atol=1e-6
    )


def test_corners_that_share_vertex_and_area_share_their_tone() -> None:
    sculpt = half_sphere()
    tone = RNG.random(len(sculpt.faces)).astype(np.float32)
    corners = corner_tone(tone, sculpt)
    size = sculpt.mm2.astype(np.float64)
    for vertex in (0, 17, 200, 641):
        for area in (0, 1):
            at = (sculpt.faces == vertex) & (sculpt.area == area)[:, None]
            if at.any():
                around = at.any(axis=1)
                mean = (tone[around] * size[around]).sum() / size[around].sum()
                np.testing.assert_allclose(corners[at], mean, atol=1e-6)


def test_hidden_faces_do_not_darken_their_neighbours() -> None:
    sculpt = half_sphere()
    hidden = np.zeros(len(sculpt.faces), np.bool_)
    hidden[::7] = True
    tone = np.where(hidden, 0.0, 0.6).astype(np.float32)
    shown = replace(sculpt, exposed=~hidden)
    np.testing.assert_allclose(corner_tone(tone, shown)[~hidden], 0.6, atol=1e-4)


def test_the_shipped_rigs_hold_together() -> None:
    assert DEFAULT_RIG in RIGS
    assert len(RIGS) >= 3
    for name, rig in RIGS.items():
        assert rig.name == name
        assert rig.sky + rig.key > 0
        assert 0 <= rig.spread <= 1
        assert rig.relief_mm > 0
    assert any(rig.key == rig.recess == rig.edge == 0 for rig in RIGS.values())
    assert RIGS[DEFAULT_RIG].recess > 0


def test_face_tone_spreads_by_what_can_be_seen() -> None:
    sculpt = half_sphere()
    sky = ((1 + sculpt.normal[:, 2]) / 2).astype(np.float32)
    zero = np.zeros_like(sky)
    light = LightMap(sky=sky, key=zero, recess=zero, edge=zero)
    np.testing.assert_array_equal(face_tone(light, Rig("plain"), sculpt), sky)
    spread = face_tone(light, Rig("spread", spread=1.0), sculpt)
    size = np.where(sculpt.exposed, sculpt.mm2, np.float32(0))
    np.testing.assert_array_equal(spread, spread_within_areas(sky, sculpt.area, 2, size, 1.0))
