"""How far a picture of joined samples is from sixteen samples everywhere."""

from __future__ import annotations

import math

import numpy as np
import pytest
import trimesh

from preview.render.adaptive import see_adaptive, ways_of
from preview.render.scan import ScanRenderer
from preview.render.seen import Seen
from preview.render.view import View

VIEW = View((0.0, 0.0, 0.0), 20.0, 35.0, math.inf, 0.07, 320, 320)
SHADE = np.array([0.15, 0.9, 0.5])


@pytest.fixture(scope="module")
def ring(sculpt_of_body):
    """A torus in three areas, with a fine ripple of tone."""
    body = trimesh.creation.torus(7.0, 3.0, major_sections=160, minor_sections=80)
    sculpt = sculpt_of_body(
        body, lambda middle: np.floor((np.arctan2(middle[:, 1], middle[:, 0]) + np.pi) / 2.1) % 3
    )
    corners = sculpt.corners.astype(np.float64)
    tone = 0.5 + 0.5 * np.sin(0.9 * corners[..., 0]) * np.cos(1.1 * corners[..., 2])
    return sculpt, tone.astype(np.float32), ScanRenderer(sculpt.vertices, sculpt.faces)


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

    adaptive = error(see_adaptive(renderer, VIEW, sculpt, ways_of(sculpt, tone)))
    four, one = error(renderer.see(VIEW, 4)), error(renderer.see(VIEW, 1))
    rms = {k: float(np.sqrt((e**2).mean())) for k, e in (("a", adaptive), ("4", four), ("1", one))}
    assert rms["a"] <= 1.05 * rms["4"], rms
    assert rms["a"] <= 0.6 * rms["1"], rms
    assert adaptive.mean() <= 0.005, adaptive.mean()
    assert np.quantile(adaptive, 0.99) <= np.quantile(four, 0.99) + 0.002


def test_samples_that_are_alike_become_one_and_none_is_lost(ring) -> None:
    sculpt, tone, renderer = ring
    seen = see_adaptive(renderer, VIEW, sculpt, ways_of(sculpt, tone))
    four = renderer.see(VIEW, 4)
    assert len(seen.pixel) < 0.4 * len(four.pixel)
    assert set(np.unique(seen.weight)) == {0.25, 0.5, 0.75, 1.0}
    size = VIEW.width * VIEW.height
    np.testing.assert_array_equal(
        np.bincount(seen.pixel, seen.weight, size), np.bincount(four.pixel, four.weight, size)
    )
    assert np.count_nonzero(np.diff(seen.pixel)) + 1 == len(np.unique(seen.pixel))


def test_a_joined_sample_shows_one_area_with_the_weight_of_its_samples(ring) -> None:
    sculpt, _, renderer = ring
    seen, four = see_adaptive(renderer, VIEW, sculpt), renderer.see(VIEW, 4)
    size = VIEW.width * VIEW.height
    for area in range(3):
        joined, single = sculpt.area[seen.face] == area, sculpt.area[four.face] == area
        np.testing.assert_array_equal(
            np.bincount(seen.pixel[joined], seen.weight[joined], size),
            np.bincount(four.pixel[single], four.weight[single], size),
        )


def places(seen: Seen, sculpt) -> tuple[np.ndarray, np.ndarray]:
    """How far each sample lies from the middle of its pixel, in pixels, and how deep, in mm."""
    weights = np.column_stack([1 - seen.bary.sum(axis=1), seen.bary])
    xy, depth = VIEW.project(np.einsum("sc,scx->sx", weights, sculpt.corners[seen.face]))
    row, column = np.divmod(seen.pixel, VIEW.width)
    return np.abs(xy - np.stack([column + 0.5, row + 0.5], axis=1)), depth


def test_a_joined_sample_lies_among_its_samples(ring, sculpt_of_body) -> None:
    sculpt, _, renderer = ring
    seen = see_adaptive(renderer, VIEW, sculpt)
    away, depth = places(seen, sculpt)
    # Where samples of several faces are joined it is the place of the first.
    assert away[seen.weight == 1].max() < 0.26
    np.testing.assert_allclose(depth, seen.depth, atol=1e-3)
    coarse = sculpt_of_body(trimesh.creation.icosphere(subdivisions=1, radius=9.0))
    seen = see_adaptive(ScanRenderer(coarse.vertices, coarse.faces), VIEW, coarse)
    away, _ = places(seen, coarse)
    assert np.median(away[seen.weight == 1]) < 1e-3


def test_a_jump_of_colour_parts_the_samples_on_either_side(ring) -> None:
    sculpt, tone, renderer = ring
    jump = np.tile(np.where(np.arange(256) < 128, 0, 1).astype(np.float32), (3, 1))
    without = see_adaptive(renderer, VIEW, sculpt, ways_of(sculpt, tone, np.zeros_like(jump)))
    parted = see_adaptive(renderer, VIEW, sculpt, ways_of(sculpt, tone, jump))
    assert len(parted.pixel) > len(without.pixel) + 200
    exact = picture_of_steps(renderer.see(VIEW, 4), tone)
    wrong = np.abs(picture_of_steps(parted, tone) - exact).mean()
    assert wrong < 0.2 * np.abs(picture_of_steps(without, tone) - exact).mean()


def picture_of_steps(seen: Seen, corner_tone: np.ndarray) -> np.ndarray:
    u, v = seen.bary.T
    tone = (np.stack([1 - u - v, u, v], axis=1) * corner_tone[seen.face]).sum(axis=1)
    return np.bincount(
        seen.pixel, seen.weight * (tone * 255 + 0.5 >= 128), VIEW.width * VIEW.height
    )


def test_a_frame_filled_to_its_border_works(ring) -> None:
    sculpt, tone, renderer = ring
    close = View((7.0, 0.0, 0.0), 90.0, 0.0, math.inf, 0.02, 100, 80)
    seen = see_adaptive(renderer, close, sculpt, ways_of(sculpt, tone))
    weight = np.bincount(seen.pixel, seen.weight, 8000)
    np.testing.assert_allclose(weight, 1.0, atol=1e-6)
