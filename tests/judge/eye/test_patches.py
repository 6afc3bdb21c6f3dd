"""Discs and bars: values of the observer, laws of size and light, the closed form beside it."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from preview.errors import UsageError
from preview.judge.eye import threshold_contrast
from preview.judge.eye.closed_form import bar_sensitivity
from preview.judge.eye.patches import patch_sensitivity

# Width, length (arc minutes), sensitivity at 30 cd/m2 of the same recipe worked apart from this
# code, rounded to three figures.
BARS = [
    (0.5, 10, 3.8),
    (1, 5, 5.2),
    (1, 60, 14.5),
    (2, 10, 14.1),
    (5, 5, 19.3),
    (20, 20, 60.4),
]
# Diameter, sensitivity; the smallest was drawn on pixels of half an arc minute.
DISCS = [(1, 1.17, 0.04), (2, 4.08, 0.01), (5, 16.8, 0.01), (10, 35.9, 0.01), (15, 48.9, 0.01),
         (30, 67.3, 0.01)]  # fmt: skip
# cd/m2, sensitivity relative to 30 cd/m2 of a bar of 1' x 10' and of a patch of 10' x 10'.
LIGHT = [
    (2, 0.47, 0.58),
    (5, 0.64, 0.74),
    (10, 0.78, 0.86),
    (100, 1.20, 1.10),
    (200, 1.29, 1.13),
]
SIZES = np.geomspace(0.25, 60.0, 9)


@pytest.mark.parametrize(("width", "length", "expected"), BARS)
def test_bars(width: float, length: float, expected: float) -> None:
    assert 1.0 / threshold_contrast(width, length, 30.0) == pytest.approx(expected, rel=0.012)


@pytest.mark.parametrize(("diameter", "expected", "tolerance"), DISCS)
def test_discs(diameter: float, expected: float, tolerance: float) -> None:
    found = 1.0 / threshold_contrast(diameter, diameter, 30.0, "disc")
    assert found == pytest.approx(expected, rel=tolerance)


@pytest.mark.parametrize(("light", "bar", "patch"), LIGHT)
def test_light(light: float, bar: float, patch: float) -> None:
    def relative(width: float, length: float) -> float:
        return threshold_contrast(width, length, 30.0) / threshold_contrast(width, length, light)

    assert relative(1, 10) == pytest.approx(bar, rel=0.012)
    assert relative(10, 10) == pytest.approx(patch, rel=0.012)


@pytest.mark.parametrize("light", [0.1, 30.0, 1000.0])
def test_larger_never_needs_more(light: float) -> None:
    sizes = np.geomspace(0.3, 200.0, 14)
    discs = [threshold_contrast(size, size, light, "disc") for size in sizes]
    assert all(low >= high for low, high in pairwise(discs))
    for other in (0.5, 33.0):
        bars = [threshold_contrast(size, other, light) for size in sizes]
        assert all(low >= high for low, high in pairwise(bars))
        assert bars[3] == threshold_contrast(other, sizes[3], light)


def test_small_marks_sum_all_their_light() -> None:
    small, tenth = (threshold_contrast(d, d, 30.0, "disc") for d in (0.05, 0.005))
    assert tenth / small == pytest.approx(100.0, rel=1e-3)


def test_a_disc_is_about_the_square_of_its_area() -> None:
    for diameter in (1.0, 4.0, 12.0):
        side = diameter * np.sqrt(np.pi) / 2.0
        square = threshold_contrast(side, side, 30.0)
        disc = threshold_contrast(diameter, diameter, 30.0, "disc")
        assert disc == pytest.approx(square, rel=0.02)


def test_more_light_never_needs_more() -> None:
    for width, length in ((1.0, 10.0), (30.0, 30.0)):
        needed = [threshold_contrast(width, length, light) for light in np.geomspace(0.02, 2e4, 7)]
        assert all(low >= high for low, high in pairwise(needed))


def _closed_form_misses(light: float) -> np.ndarray:
    """dB between closed form and observer for bars over a grid of sizes."""
    return np.array(
        [
            20.0
            * np.log10(
                bar_sensitivity(np.array(w), np.array(long), light)
                / patch_sensitivity(w, long, light, "bar")
            )
            for k, w in enumerate(SIZES)
            for long in SIZES[k:]
        ]
    )


@pytest.mark.parametrize("light", [0.3, 2.0, 6.0, 30.0, 70.0, 200.0, 300.0])
def test_the_closed_form_follows_the_observer(light: float) -> None:
    miss = _closed_form_misses(light)
    assert np.sqrt(np.mean(miss**2)) <= 0.25
    assert np.abs(miss).max() <= 0.7


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ((0.0, 5.0, 30.0), "width must be"),
        ((5.0, -1.0, 30.0), "length must be"),
        ((float("nan"), 5.0, 30.0), "width must be"),
        ((5.0, float("inf"), 30.0), "length must be"),
        ((5.0, 5.0, 0.0), "adaptation must be"),
        ((5.0, 5.0, 30.0, "ring"), "unknown shape"),
    ],
)
def test_nonsense_is_refused(arguments: tuple[object, ...], says: str) -> None:
    with pytest.raises(UsageError, match=says):
        threshold_contrast(*arguments)


def test_age_is_in_the_threshold() -> None:
    young, old = (threshold_contrast(4.0, 4.0, 30.0, age=age) for age in (18, 80))
    assert old > 4.0 * young
    with pytest.raises(UsageError, match="18 to 80"):
        threshold_contrast(4.0, 4.0, 30.0, age=17.0)
