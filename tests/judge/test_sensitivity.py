"""The closed form against worked values, and against the observer that it was fitted to."""

from __future__ import annotations

import numpy as np
import pytest

from preview.judge.grades import share_after_blur
from preview.judge.sensitivity import (
    SENSITIVITY_CAP,
    ClosedFormEye,
    age_factor,
    bar_sensitivity,
    pupil_mm,
)

# width, length (arc minutes), cd/m2, sensitivity: the formula worked apart from this code.
WORKED = [
    (1, 10, 30, 7.497),
    (3, 10, 30, 19.515),
    (10, 10, 30, 39.411),
    (1, 10, 10, 5.778),
    (5, 10, 10, 22.083),
    (10, 10, 100, 43.617),
    (1, 60, 10, 11.4),
    (60, 1, 10, 12.4),
]

# width, length, sensitivity at 30 cd/m2 of the full observer (Barten 1999 as a filter, aperture and
# pooling of Watson and Ahumada 2005), rounded. The form follows it within 0.46 dB, 5.4 %.
OBSERVER = [
    (0.5, 10, 3.8),
    (1, 5, 5.2),
    (1, 60, 14.5),
    (2, 10, 14.1),
    (5, 5, 19.3),
    (20, 20, 60.4),
]

# cd/m2, sensitivity relative to 30 cd/m2 of a bar of 1' x 10' and of a patch of 10' x 10', same
# observer. The form's light factor follows within 1.3 dB, 16 %.
LIGHT = [
    (2, 0.47, 0.58),
    (5, 0.64, 0.74),
    (10, 0.78, 0.86),
    (100, 1.20, 1.10),
    (200, 1.29, 1.13),
]

# Factors relative to 23 years by the formulas of Adrian (1989), Lighting Research and Technology
# 21: 181, as read in an open implementation.
AGE = [(23, 1.0), (40, 1.20), (50, 1.44), (60, 1.77), (70, 2.98)]

# Share of a bar's contrast left after a blur of 0.57': the error function, from tables.
BLUR = [(0.5, 0.339), (1, 0.620), (2, 0.921), (3, 0.992)]


def _bar(width: float, length: float, light: float) -> float:
    return float(bar_sensitivity(np.array(float(width)), np.array(float(length)), float(light)))


@pytest.mark.parametrize(("width", "length", "light", "expected"), WORKED)
def test_worked_values(width: float, length: float, light: float, expected: float) -> None:
    digits = 5e-4 if expected > 12.5 or width != 60 else 5e-2
    tolerance = 5e-2 if 60 in (width, length) else digits
    assert _bar(width, length, light) == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(("width", "length", "expected"), OBSERVER)
def test_follows_the_full_observer(width: float, length: float, expected: float) -> None:
    assert _bar(width, length, 30.0) == pytest.approx(expected, rel=0.054)


@pytest.mark.parametrize(("light", "bar", "patch"), LIGHT)
def test_follows_the_full_observer_with_light(light: float, bar: float, patch: float) -> None:
    assert _bar(1, 10, light) / _bar(1, 10, 30) == pytest.approx(bar, rel=0.16)
    assert _bar(10, 10, light) / _bar(10, 10, 30) == pytest.approx(patch, rel=0.16)


@pytest.mark.parametrize("light", [2.0, 10.0, 30.0, 100.0, 200.0])
def test_larger_is_never_harder_to_see(light: float) -> None:
    sizes = np.geomspace(0.05, 200.0, 80)
    width, length = np.meshgrid(sizes, sizes)
    seen = ClosedFormEye().sensitivity(width, length, light)
    # The form bends by up to 0.5 % where its light factor changes over; far below its fit.
    assert (np.diff(seen, axis=0) >= -0.005 * seen[1:]).all()
    assert (np.diff(seen, axis=1) >= -0.005 * seen[:, 1:]).all()
    assert seen.max() <= SENSITIVITY_CAP
    assert (seen.max() == SENSITIVITY_CAP) == (light >= 10.0)


def test_smaller_side_is_the_width() -> None:
    eye = ClosedFormEye()
    tall, wide = (
        eye.sensitivity(np.array(a), np.array(b), 10.0) for a, b in ((1.0, 60.0), (60.0, 1.0))
    )
    assert tall == wide == pytest.approx(11.4, abs=0.05)


def test_light_outside_the_fit_counts_as_its_border() -> None:
    assert _bar(3, 10, 0.5) == _bar(3, 10, 2.0)
    assert _bar(3, 10, 5000.0) == _bar(3, 10, 200.0)


@pytest.mark.parametrize(("age", "expected"), AGE)
def test_age(age: float, expected: float) -> None:
    assert age_factor(age) == pytest.approx(expected, abs=6e-3)
    young, old = ClosedFormEye(), ClosedFormEye(age_years=age)
    size = np.array(2.0)
    ratio = young.sensitivity(size, size, 30.0) / old.sensitivity(size, size, 30.0)
    assert float(ratio) == pytest.approx(age_factor(age))


def test_age_never_jumps_or_falls() -> None:
    factors = np.array([age_factor(age) for age in np.linspace(10.0, 90.0, 8001)])
    assert (np.diff(factors) >= 0.0).all()
    assert np.diff(factors).max() < 0.005


@pytest.mark.parametrize(("width", "kept"), BLUR)
def test_blur_of_a_bar(width: float, kept: float) -> None:
    assert share_after_blur(np.array(float(width)), 0.57) == pytest.approx(kept, abs=6e-4)


def test_pupil_is_near_another_formula() -> None:
    # Watson and Yellott (2012), Journal of Vision 12 (10): 12: 3.57 mm for 30 cd/m2, 40 degrees and
    # 30 years. Pupils differ by more than this between people.
    assert pupil_mm(30.0) == pytest.approx(3.57, abs=0.25)
    assert ClosedFormEye().blur_arcmin(30.0) == pytest.approx(0.57, abs=0.01)
