"""The quick observer: laws of size, light and age."""

from __future__ import annotations

import numpy as np
import pytest

from preview.errors import UsageError
from preview.judge.eye.age_adrian_1989 import age_factor
from preview.judge.eye.closed_form import SENSITIVITY_CAP, ClosedFormEye, bar_sensitivity
from preview.judge.grades import share_after_blur

# Factors relative to 23 years by the formulas of Adrian (1989), Lighting Research and Technology
# 21: 181, as read in an open implementation.
AGE = [(18, 1.0), (23, 1.0), (40, 1.20), (50, 1.44), (60, 1.77), (70, 2.98)]

# Share of a bar's contrast left after a blur of 0.57': the error function, from tables.
BLUR = [(0.5, 0.339), (1, 0.620), (2, 0.921), (3, 0.992)]


@pytest.mark.parametrize("light", [0.3, 2.0, 10.0, 30.0, 100.0, 300.0])
def test_larger_is_never_harder_to_see(light: float) -> None:
    sizes = np.geomspace(0.05, 200.0, 80)
    width, length = np.meshgrid(sizes, sizes)
    seen = ClosedFormEye().sensitivity(width, length, light)
    assert (np.diff(seen, axis=0) >= 0.0).all()
    assert (np.diff(seen, axis=1) >= 0.0).all()
    assert seen.max() <= SENSITIVITY_CAP
    assert np.array_equal(seen, seen.T)


def test_more_light_is_never_harder() -> None:
    sizes = np.geomspace(0.05, 200.0, 20)
    width, length = np.meshgrid(sizes, sizes)
    seen = [bar_sensitivity(width, length, light) for light in np.geomspace(0.3, 300.0, 30)]
    assert (np.diff(seen, axis=0) >= 0.0).all()


def test_light_outside_the_fit_counts_as_its_border() -> None:
    size = np.array(3.0)
    assert bar_sensitivity(size, size, 0.01) == bar_sensitivity(size, size, 0.3)
    assert bar_sensitivity(size, size, 9999.0) == bar_sensitivity(size, size, 300.0)


@pytest.mark.parametrize(("age", "expected"), AGE)
def test_age(age: float, expected: float) -> None:
    assert age_factor(age) == pytest.approx(expected, abs=6e-3)
    young, old = ClosedFormEye(), ClosedFormEye(age_years=age)
    size = np.array(2.0)
    ratio = young.sensitivity(size, size, 30.0) / old.sensitivity(size, size, 30.0)
    assert float(ratio) == pytest.approx(age_factor(age))


def test_age_never_jumps_or_falls() -> None:
    factors = np.array([age_factor(age) for age in np.linspace(18.0, 80.0, 6201)])
    assert (np.diff(factors) >= 0.0).all()
    assert np.diff(factors).max() < 0.005


@pytest.mark.parametrize("age", [17.9, 80.1, float("nan"), -5.0])
def test_ages_outside_are_refused(age: float) -> None:
    with pytest.raises(UsageError, match="18 to 80"):
        age_factor(age)
    with pytest.raises(UsageError, match="18 to 80"):
        ClosedFormEye(age_years=age)


@pytest.mark.parametrize(("width", "kept"), BLUR)
def test_blur_of_a_bar(width: float, kept: float) -> None:
    assert share_after_blur(np.array(float(width)), 0.57) == pytest.approx(kept, abs=6e-4)
