"""A ramp as spectra per tone: borders, blends, glazes, groups."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from preview.mix.mixture import Mix
from preview.mix.recipes import blend
from preview.optics.spectrum import BANDS
from preview.ramp.levels import ramp_reflectance, step_of_tone, step_reflectance
from preview.ramp.ramp import Ramp, Step
from preview.ramp.words import group_of

LEVELS = 256
TONES = np.linspace(0.0, 1.0, LEVELS)
GREY = np.full(BANDS, 0.25)


def flat_mix(absorption: float, slope: float, name: str) -> Mix:
    """A mix of one made-up paint whose absorption changes evenly over the spectrum."""
    curve = absorption * np.linspace(1.0, slope, BANDS)
    return Mix(curve, np.full(BANDS, 0.5), 0.0, 0.0, {name: 1}, "estimate")


DARK, MIDDLE, LIGHT = flat_mix(4.0, 0.5, "d"), flat_mix(0.5, 0.3, "m"), flat_mix(0.02, 2.0, "l")
RAMP = Ramp(
    "coat",
    (Step("shadow", DARK, 0.0), Step("midtone", MIDDLE, 0.35), Step("highlight", LIGHT, 0.75)),
)


def test_layered_borders_are_hard() -> None:
    table = ramp_reflectance(replace(RAMP, edges="layered"), LEVELS, GREY)
    for tone, row in zip(TONES, table, strict=True):
        expected = DARK if tone < 0.35 else MIDDLE if tone < 0.75 else LIGHT
        np.testing.assert_array_equal(row, expected.reflectance)


def test_away_from_borders_a_blended_ramp_shows_its_steps() -> None:
    table = ramp_reflectance(RAMP, LEVELS, GREY)
    for tone, mix in [(0.0, DARK), (0.28, DARK), (0.5, MIDDLE), (0.85, LIGHT), (1.0, LIGHT)]:
        np.testing.assert_array_equal(table[round(tone * (LEVELS - 1))], mix.reflectance)


def test_in_the_middle_of_a_border_a_wet_blend_is_half_and_half() -> None:
    levels = 201  # so that a row falls on the border itself
    row = ramp_reflectance(RAMP, levels, GREY)[70]
    half = blend(DARK, MIDDLE, 0.5)
    np.testing.assert_allclose(row, half.reflectance, rtol=1e-9)
    # K and S are what is halved, so it is not the mean of the two reflectances.
    assert np.all(row < 0.95 * 0.5 * (DARK.reflectance + MIDDLE.reflectance))


def test_a_blend_rises_steadily_and_without_a_jump() -> None:
    lightness = ramp_reflectance(RAMP, LEVELS, GREY)[:, 15]
    steps = np.diff(lightness)
    assert np.all(steps >= 0)
    hard = np.diff(ramp_reflectance(replace(RAMP, edges="layered"), LEVELS, GREY)[:, 15])
    assert steps.max() < 0.25 * hard.max()


def test_blends_of_close_borders_do_not_overlap() -> None:
    close = Ramp(
        "coat",
        (Step("shadow", DARK, 0.0), Step("midtone", MIDDLE, 0.5), Step("highlight", LIGHT, 0.54)),
        blend_width=0.8,
    )
    table = ramp_reflectance(close, 1001, GREY)
    np.testing.assert_allclose(table[520], MIDDLE.reflectance, rtol=1e-6)
    assert np.all(np.diff(table[:, 15]) >= -1e-12)


def test_a_ramp_of_one_step_is_the_same_everywhere() -> None:
    table = ramp_reflectance(Ramp("flat", (Step("midtone", MIDDLE, 0.0),)), LEVELS, GREY)
    assert np.all(table == MIDDLE.reflectance)


def glazed(coats: float, over: str | None = None) -> Ramp:
    """The ramp with a glaze for its shadow or highlight."""
    if over is None:
        return replace(RAMP, steps=(*RAMP.steps[:2], replace(RAMP.steps[2], glaze_coats=coats)))
    return replace(
        RAMP,
        steps=(replace(RAMP.steps[0], glaze_coats=coats, glaze_over=over), *RAMP.steps[1:]),
    )


def test_a_glaze_is_a_film_over_the_step_below() -> None:
    looks = step_reflectance(glazed(0.3), GREY)
    np.testing.assert_array_equal(looks[2], LIGHT.over(MIDDLE.reflectance, 0.3))
    assert np.all(looks[2] > MIDDLE.reflectance)
    assert np.all(looks[2] < LIGHT.reflectance)


def test_a_lowest_glaze_lies_over_the_primer_or_the_step_it_names() -> None:
    first = replace(RAMP, steps=(replace(RAMP.steps[0], glaze_coats=0.2), *RAMP.steps[1:]))
    np.testing.assert_array_equal(step_reflectance(first, GREY)[0], DARK.over(GREY, 0.2))
    wash = step_reflectance(glazed(0.2, "midtone"), GREY)
    np.testing.assert_array_equal(wash[0], DARK.over(MIDDLE.reflectance, 0.2))
    np.testing.assert_array_equal(
        step_reflectance(glazed(0.2, "primer"), GREY), step_reflectance(first, GREY)
    )


def test_glazes_stand_on_glazes() -> None:
    steps = (
        RAMP.steps[0],
        replace(RAMP.steps[1], glaze_coats=0.3),
        replace(RAMP.steps[2], glaze_coats=0.2),
    )
    looks = step_reflectance(replace(RAMP, steps=steps), GREY)
    np.testing.assert_array_equal(looks[2], LIGHT.over(MIDDLE.over(DARK.reflectance, 0.3), 0.2))


@pytest.mark.parametrize("over", [None, "midtone", "primer"])
def test_borders_of_glazes_have_no_jump(over: str | None) -> None:
    ramp = glazed(0.25, over)
    looks = step_reflectance(ramp, GREY)
    table = ramp_reflectance(ramp, 2001, GREY)
    largest = np.abs(np.diff(looks, axis=0)).max()
    assert np.abs(np.diff(table, axis=0)).max() < 0.05 * largest


def test_a_thick_glaze_hides() -> None:
    np.testing.assert_allclose(
        ramp_reflectance(glazed(20.0), LEVELS, GREY)[-1], LIGHT.reflectance, rtol=1e-6
    )


@pytest.mark.parametrize(
    ("tone", "index"), [(0.0, 0), (0.3499, 0), (0.35, 1), (0.74, 1), (0.75, 2), (1.0, 2)]
)
def test_a_step_begins_at_its_tone(tone: float, index: int) -> None:
    assert step_of_tone(RAMP, tone) == index


def test_many_tones_at_once_are_the_same_as_one_by_one() -> None:
    many = step_of_tone(RAMP, TONES.reshape(16, 16))
    assert many.shape == (16, 16)
    assert many.ravel().tolist() == [int(step_of_tone(RAMP, tone)) for tone in TONES]


def test_the_first_step_also_covers_what_is_below_it() -> None:
    late = replace(RAMP, steps=(replace(RAMP.steps[0], begins=0.2), *RAMP.steps[1:]))
    assert step_of_tone(late, 0.05) == 0


def test_steps_count_as_shadow_midtone_or_highlight() -> None:
    names = ("deep", "shadow", "midtone", "highlight1", "highlight2")
    groups = [group_of(name) for name in names]
    assert groups == ["shadow", "shadow", "midtone", "highlight", "highlight"]
