"""How far the adaptive picture is from sixteen samples everywhere."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from preview.render.adaptive import see_adaptive, uneven_pixels
from preview.render.rays import RayRenderer
from preview.render.seen import Seen
from preview.render.view import View

VIEW = View((0.0, 0.0, 0.0), 20.0, 35.0, math.inf, 0.07, 320, 320)
SHADE = np.array([0.15, 0.9, 0.5])


@pytest.fixture(scope="module")
def ring(sculpt_of):
    """A torus in three areas, with a fine ripple of tone."""
    body = trimesh.creation.torus(7.0, 3.0, major_sections=160, minor_sections=80)
    sculpt = sculpt_of(
        body, lambda middle: np.floor((np.arctan2(middle[:, 1], middle[:, 0]) + np.pi) / 2.1) % 3
    )
    corners = sculpt.corners.astype(np.float64)
    tone = 0.5 + 0.5 * np.sin(0.9 * corners[..., 0]) * np.cos(1.1 * corners[..., 2])
    return sculpt, tone.astype(np.float32), RayRenderer(sculpt.vertices, sculpt.faces)


def picture(seen: Seen, sculpt, corner_tone: np.ndarray) -> np.ndarray:
    u, v = seen.bary.T
    tone = (np.stack([1 - u - v, u, v], axis=1) * corner_tone[seen.face]).sum(axis=1)
    colour = SHADE[sculpt.area[seen.face]] * (0.3 + 0.7 * tone)
    return np.bincount(seen.pixel, seen.weight * colour, VIEW.width * VIEW.height)


def test_error_against_sixteen_samples_is_that_of_four(ring) -> None:
    sculpt, tone, renderer = ring
    sixteen = renderer.see(VIEW, 16)
    covered = np.bincount(sixteen.pixel, minlength=VIEW.width * VIEW.height) > 0
    exact = picture(sixteen, sculpt, tone)

    def error(seen: Seen) -> np.ndarray:
        return np.abs(picture(seen, sculpt, tone) - exact)[covered]

    adaptive = error(see_adaptive(renderer, VIEW, sculpt, tone))
    four, one = error(renderer.see(VIEW, 4)), error(renderer.see(VIEW, 1))
    rms = {k: float(np.sqrt((e**2).mean())) for k, e in (("a", adaptive), ("4", four), ("1", one))}
    assert rms["a"] <= 1.05 * rms["4"], rms
    assert rms["a"] <= 0.6 * rms["1"], rms
    assert adaptive.mean() <= 0.005, adaptive.mean()
    assert np.quantile(adaptive, 0.99) <= np.quantile(four, 0.99) + 0.002


def test_even_pixels_take_one_sample_and_weights_fill_each_pixel(ring) -> None:
    sculpt, tone, renderer = ring
    seen = see_adaptive(renderer, VIEW, sculpt, tone)
    weight = np.bincount(seen.pixel, seen.weight, VIEW.width * VIEW.height)
    assert weight.max() <= 1 + 1e-6
    assert len(seen.pixel) < 0.6 * len(renderer.see(VIEW, 4).pixel)
    assert set(np.unique(seen.weight)) == {0.25, 1.0}
    inside = renderer.see(VIEW, 16)
    full = np.bincount(inside.pixel, inside.weight, VIEW.width * VIEW.height) == 1
    np.testing.assert_allclose(weight[full], 1.0, atol=0.26)
    assert (weight[full] > 0.99).mean() > 0.999


def test_area_borders_and_outlines_are_uneven(ring) -> None:
    sculpt, _, renderer = ring
    seen = renderer.see(VIEW)
    uneven = uneven_pixels(seen, sculpt).reshape(VIEW.height, VIEW.width)
    area = np.full(VIEW.width * VIEW.height, -1)
    area[seen.pixel] = sculpt.area[seen.face]
    area = area.reshape(VIEW.height, VIEW.width)
    beside = area[:, :-1] != area[:, 1:]
    above = area[:-1] != area[1:]
    assert beside.sum() > 100
    assert uneven[:, :-1][beside].all()
    assert uneven[:, 1:][beside].all()
    assert uneven[:-1][above].all()
    assert uneven[1:][above].all()


def test_a_jump_of_colour_makes_both_its_sides_uneven(ring) -> None:
    sculpt, tone, renderer = ring
    seen = renderer.see(VIEW)
    without = uneven_pixels(seen, sculpt, tone)
    with_jump = uneven_pixels(seen, sculpt, tone, jumps=[0.5])
    assert (with_jump >= without).all()
    assert with_jump.sum() > without.sum() + 200


def test_a_frame_filled_to_its_border_works(ring) -> None:
    sculpt, tone, renderer = ring
    close = View((7.0, 0.0, 0.0), 90.0, 0.0, math.inf, 0.02, 100, 80)
    seen = see_adaptive(renderer, close, sculpt, tone)
    weight = np.bincount(seen.pixel, seen.weight, 8000)
    np.testing.assert_allclose(weight, 1.0, atol=1e-6)
