"""Barten's formula: an independent package, and worked values."""

from __future__ import annotations

from types import ModuleType

import numpy as np
import pytest

from preview.judge.eye.csf_barten_1999 import blur_arcmin, contrast_sensitivity, pupil_mm

# cd/m2, cycles per degree, sensitivity for a field of 2 degrees and a pupil for one of 60, worked
# by colour-science 0.4.7 from Barten's formula.
WORKED = [
    (10, 1, 108.34),
    (10, 4, 193.51),
    (10, 30, 12.04),
    (30, 1, 114.49),
    (30, 4, 259.21),
    (30, 8, 218.85),
    (30, 16, 101.40),
    (30, 40, 4.41),
    (100, 2, 215.22),
    (100, 8, 305.06),
    (100, 40, 7.07),
]


@pytest.mark.parametrize(("light", "frequency", "expected"), WORKED)
def test_worked_values(light: float, frequency: float, expected: float) -> None:
    found = contrast_sensitivity(np.array(float(frequency)), float(light), 2.0, 60.0)
    assert float(found) == pytest.approx(expected, abs=6e-3)


def test_agrees_with_colour_science(colour_science: ModuleType) -> None:
    other = colour_science.contrast
    for light, field, pupil_field in ((3.0, 10.0, 10.0), (30.0, 2.0, 60.0), (200.0, 5.0, 40.0)):
        diameter = other.pupil_diameter_Barten1999(light, pupil_field, pupil_field)
        sigma = other.sigma_Barten1999(0.5 / 60.0, 0.08 / 60.0, diameter)
        trolands = other.retinal_illuminance_Barten1999(light, diameter, True)
        for frequency in (0.5, 2.0, 6.0, 20.0, 45.0):
            theirs = other.contrast_sensitivity_function_Barten1999(
                frequency, sigma, E=trolands, X_0=field, Y_0=field
            )
            ours = contrast_sensitivity(np.array(frequency), light, field, pupil_field)
            assert float(ours) == pytest.approx(float(theirs), rel=1e-6)


def test_a_plain_field_has_no_contrast() -> None:
    found = contrast_sensitivity(np.array([0.0, 1e-3, 1.0]), 30.0, 10.0, 10.0)
    assert found[0] == 0.0
    assert 0.0 < found[1] < found[2]


def test_pupil_is_near_another_formula() -> None:
    # Watson and Yellott (2012), Journal of Vision 12 (10): 12: 3.57 mm for 30 cd/m2, 40 degrees and
    # 30 years. Pupils differ by more than this between people.
    assert pupil_mm(30.0) == pytest.approx(3.57, abs=0.25)
    assert blur_arcmin(pupil_mm(30.0)) == pytest.approx(0.57, abs=0.01)
