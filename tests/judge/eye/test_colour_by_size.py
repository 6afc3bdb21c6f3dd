"""What blur leaves of colour, and what a crowd notices, by size."""

from __future__ import annotations

import numpy as np
import pytest

from preview.judge.eye.noticeable_stone_2014 import noticeable_difference
from preview.judge.eye.scielab_zhang_wandell_1997 import (
    KERNELS,
    OPPONENT_FROM_XYZ,
    filtered_bar,
    kept_of_bar,
)
from preview.judge.geometry import arcmin_from_mm
from preview.optics.cie1976_lab import lab_from_xyz
from preview.optics.srgb_iec61966 import SRGB_WHITE

# Modulation left at 1, 4, 8, 16 and 30 cycles per degree by the published kernels (Zhang and
# Wandell 1996): luminance, red-green, blue-yellow; worked apart from this code.
LEFT = [
    (1, 1.091, 0.642, 0.652),
    (4, 0.891, 0.484, 0.361),
    (8, 0.605, 0.234, 0.0925),
    (16, 0.133, 0.0127, 0.0004),
    (30, 0.0008, 0.0, 0.0),
]
# A grey line of Y 0.30 on 0.10 at 1 m: width in mm, difference of L* left in its middle, by
# filtering a picture of 120 pixels per degree with the same kernels, so that the line is a whole
# number of half arc minutes wide; raw it is 23.81.
LINES = [(0.3, 10.09), (0.5, 13.74), (1.0, 22.04), (2.0, 24.98), (4.0, 25.68)]
# Side in degrees, L*, a* and b* that half of a crowd notices (Stone et al. 2014, for 50 %).
NOTICED = [(1.0, 5.8, 6.9, 8.2), (1 / 3, 7.3, 10.0, 14.0), (0.1, 12.6, 20.7, 34.1)]


@pytest.mark.parametrize(("frequency", "light", "red", "blue"), LEFT)
def test_kernels(frequency: float, light: float, red: float, blue: float) -> None:
    for kernel, expected in zip(KERNELS, (light, red, blue), strict=True):
        weight, spread = np.array(kernel).T
        left = (weight * np.exp(-((np.pi * spread * frequency) ** 2))).sum() / weight.sum()
        assert left == pytest.approx(expected, abs=6e-4)


@pytest.mark.parametrize(("width_mm", "expected"), LINES)
def test_a_line_after_the_filter(width_mm: float, expected: float) -> None:
    drawn = round(2.0 * arcmin_from_mm(width_mm, 1.0)) / 2.0
    kept = kept_of_bar(drawn, np.inf)
    light, dark = 0.30 * SRGB_WHITE, 0.10 * SRGB_WHITE
    left = lab_from_xyz(filtered_bar(light, dark, kept), SRGB_WHITE)
    step = left[0] - lab_from_xyz(dark, SRGB_WHITE)[0]
    # The picture ends before the widest kernel, which costs wide lines 0.14.
    assert step == pytest.approx(expected, abs=0.15)


def test_wide_bars_keep_all_and_thin_ones_lose_hue_first() -> None:
    np.testing.assert_allclose(kept_of_bar(1e6, 1e6), 1.0, atol=1e-9)
    np.testing.assert_allclose(kept_of_bar(0.0, 60.0), 0.0, atol=1e-12)
    light, red, blue = kept_of_bar(3.0, 60.0)
    assert light > red > blue > 0.0
    widths = kept_of_bar(np.linspace(0.0, 60.0, 40), 60.0)
    assert (np.diff(widths[:, 1:], axis=0) > 0.0).all()


def test_greys_stay_grey() -> None:
    opponent = OPPONENT_FROM_XYZ @ SRGB_WHITE
    assert abs(opponent[1] / opponent[0]) < 0.12
    kept = kept_of_bar(2.0, 20.0)
    left = filtered_bar(0.5 * SRGB_WHITE, 0.5 * SRGB_WHITE, kept)
    np.testing.assert_allclose(left, 0.5 * SRGB_WHITE, atol=1e-12)


@pytest.mark.parametrize(("degrees", "light", "a", "b"), NOTICED)
def test_crowd(degrees: float, light: float, a: float, b: float) -> None:
    found = noticeable_difference(60.0 * degrees)
    np.testing.assert_allclose(found, [light, a, b], atol=0.06)
