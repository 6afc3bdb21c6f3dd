"""The shipped tables against colour-science."""

from __future__ import annotations

from types import ModuleType

import numpy as np
import pytest

from preview.errors import UsageError
from preview.optics.appearance import lab_from_reflectance, xyz_from_reflectance
from preview.optics.ciede2000 import ciede2000
from preview.optics.make_tables import OBSERVER_IN_COLOUR, weights_from_colour_science
from preview.optics.spectrum import WAVELENGTHS_NM
from preview.optics.weights import ILLUMINANTS, TABLES, weights, white


@pytest.mark.parametrize(("lamp", "observer"), TABLES)
def test_each_table_is_what_colour_science_computes(
    colour_science: ModuleType, lamp: str, observer: int
) -> None:
    # 1e-9: the tables are written with eleven digits
    np.testing.assert_allclose(
        weights(lamp, observer), weights_from_colour_science(lamp, observer), rtol=0, atol=1e-9
    )


@pytest.mark.parametrize(("lamp", "observer"), TABLES)
def test_whites_are_the_chromaticities_of_the_cie(
    colour_science: ModuleType, lamp: str, observer: int
) -> None:
    x, y, z = white(lamp, observer)
    expected = colour_science.CCS_ILLUMINANTS[OBSERVER_IN_COLOUR[observer]][ILLUMINANTS[lamp]]
    # 3e-4: the chromaticities are published with four or five digits and other summation steps
    np.testing.assert_allclose([x / (x + y + z), y / (x + y + z)], expected, atol=3e-4)
    assert y == pytest.approx(1.0, abs=1e-9)


@pytest.mark.parametrize("lamp", ["D65", "A", "cool-led"])
def test_smooth_reflectances_agree_with_the_integral_at_1_nm(
    colour_science: ModuleType, lamp: str
) -> None:
    fine = np.arange(360.0, 781.0)
    cmfs = colour_science.MSDS_CMFS[OBSERVER_IN_COLOUR[2]].copy()
    shape = colour_science.SpectralShape(360, 780, 1)
    cmfs = cmfs.align(shape)
    lamp_sd = colour_science.SDS_ILLUMINANTS[ILLUMINANTS[lamp]].copy().align(shape)
    for centre in (420.0, 500.0, 590.0, 660.0):
        curve = 0.05 + 0.8 / (1.0 + np.exp(-(fine - centre) / 15.0))
        sd = colour_science.SpectralDistribution(curve, shape)
        xyz = colour_science.sd_to_XYZ(sd, cmfs, lamp_sd, method="Integration") / 100.0
        all_of_it = colour_science.SpectralDistribution(np.ones(len(fine)), shape)
        light = colour_science.sd_to_XYZ(all_of_it, cmfs, lamp_sd, method="Integration") / 100.0
        xy = colour_science.XYZ_to_xy(light)
        expected = colour_science.XYZ_to_Lab(xyz / light[1], xy)
        got = lab_from_reflectance(np.interp(WAVELENGTHS_NM, fine, curve), lamp)
        # 0.15: what 10 nm bands and cut ends can lose on a steep curve
        assert ciede2000(got, expected) < 0.15


def test_a_list_of_reflectances_gives_what_each_gives() -> None:
    curves = np.random.default_rng(3).random((4, 5, 31))
    together = xyz_from_reflectance(curves)
    assert together.shape == (4, 5, 3)
    np.testing.assert_allclose(together[2, 3], xyz_from_reflectance(curves[2, 3]), rtol=1e-13)


def test_an_unknown_lamp_is_told_with_the_valid_ones() -> None:
    with pytest.raises(UsageError, match='did you mean "warm-led"'):
        weights("warm led")
    with pytest.raises(UsageError, match="10 degree"):
        weights("A", 10)


def test_tables_cannot_be_changed_by_accident() -> None:
    with pytest.raises(ValueError, match="read-only"):
        weights()[0, 0] = 1.0
