"""Spectra made from colours give their colour back, over the whole sRGB cube."""

from __future__ import annotations

import numpy as np
import pytest

from preview.optics.appearance import lab_from_reflectance
from preview.optics.cie1976_lab import lab_from_xyz, xyz_from_lab
from preview.optics.ciede2000 import ciede2000
from preview.optics.lhtss_burns_2020 import FLOORS, LIGHTEST, reflectance_from_xyz
from preview.optics.spectrum import Floats
from preview.optics.srgb_iec61966 import SRGB_WHITE, linear_from_srgb8, xyz_from_linear
from preview.optics.weights import Observer, white


def _cube(levels: list[int]) -> Floats:
    """(colours, 3) 8-bit sRGB of a grid."""
    return np.stack(np.meshgrid(levels, levels, levels), axis=-1).reshape(-1, 3)


def _labs(srgb8: Floats) -> Floats:
    return lab_from_xyz(xyz_from_linear(linear_from_srgb8(srgb8)), SRGB_WHITE)


@pytest.mark.parametrize(
    ("levels", "median"),
    [
        ([0, 32, 64, 96, 128, 160, 192, 224, 255], 0.02),
        ([0, 1, 2, 4, 8, 12, 16, 24], 0.2),
        ([0, 1, 253, 254, 255], 0.02),
        ([0, 3, 6, 12, 48, 51, 54, 57, 60], 0.2),
    ],
    ids=["whole cube", "near black", "corners", "dark and pure"],
)
def test_the_srgb_cube_comes_back(levels: list[int], median: float) -> None:
    labs = _labs(_cube(levels))
    curves, found = reflectance_from_xyz(xyz_from_lab(labs, white()))
    assert found.all()
    assert curves.min() >= FLOORS[-1]
    assert curves.max() <= LIGHTEST
    differences = ciede2000(lab_from_reflectance(curves), labs)
    # Near-blacks and dark reds are lifted to the lowest floor; measured maximum 0.369, at #390000.
    assert differences.max() < 0.38
    assert np.median(differences) < median


@pytest.mark.parametrize("grey", [0, 1, 40, 128, 254, 255])
def test_greys_get_flat_curves(grey: int) -> None:
    curve, found = reflectance_from_xyz(xyz_from_lab(_labs(np.array([grey, grey, grey])), white()))
    assert found
    assert np.ptp(curve) < 1e-3


@pytest.mark.parametrize(("lamp", "observer"), [("D50", 2), ("D50", 10), ("D65", 10)])
def test_other_lamps_and_observers_come_back(lamp: str, observer: Observer) -> None:
    labs = np.array([[50.0, 20.0, 30.0], [30.0, -10.0, -30.0], [85.0, -5.0, 60.0]])
    xyz = xyz_from_lab(labs, white(lamp, observer))
    curves, found = reflectance_from_xyz(xyz, lamp, observer)
    assert found.all()
    got = lab_from_reflectance(curves, lamp, observer)
    assert ciede2000(got, labs).max() < 0.02


@pytest.mark.parametrize("lab", [[5.0, 100.0, 100.0], [98.0, 90.0, 0.0], [120.0, 0.0, 0.0]])
def test_colours_that_no_reflectance_has_are_not_found(lab: list[float]) -> None:
    _, found = reflectance_from_xyz(xyz_from_lab(lab, white()))
    assert not found


def test_no_colours_give_no_curves() -> None:
    curves, found = reflectance_from_xyz(np.empty((0, 3)))
    assert curves.shape == (0, 31)
    assert found.shape == (0,)
