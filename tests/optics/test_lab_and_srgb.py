"""CIELAB, sRGB and adaptation against their standards and colour-science."""

from __future__ import annotations

from types import ModuleType

import numpy as np
import pytest

from preview.optics.appearance import (
    hex_from_reflectance,
    linear_srgb_from_lab,
    linear_srgb_from_reflectance,
)
from preview.optics.cat16_li_2017 import adaptation_matrix
from preview.optics.cie1976_lab import (
    chroma_from_lab,
    hue_deg_from_lab,
    lab_from_xyz,
    lightness_from_y,
    xyz_from_lab,
    y_from_lightness,
)
from preview.optics.srgb_iec61966 import (
    SRGB_WHITE,
    encoded_from_linear,
    hex_from_lab,
    hex_from_srgb8,
    lab_from_hex,
    linear_from_encoded,
    linear_from_srgb8,
    srgb8_from_hex,
    srgb8_from_linear,
    xyz_from_linear,
)
from preview.optics.weights import TABLES, white


def test_srgb_curve_by_the_formula_of_iec_61966_2_1() -> None:
    # Straight part and power part, worked out by hand from the standard's formula
    assert linear_from_encoded(0.04045) == pytest.approx(0.04045 / 12.92)
    assert linear_from_encoded(0.5) == pytest.approx((0.555 / 1.055) ** 2.4)
    assert linear_from_srgb8([0, 255]).tolist() == [0.0, 1.0]


def test_srgb_curve_and_matrix_agree_with_colour_science(colour_science: ModuleType) -> None:
    values = np.linspace(0.0, 1.0, 1001)
    oracle = colour_science.RGB_COLOURSPACES["sRGB"]
    np.testing.assert_allclose(
        linear_from_encoded(values), oracle.cctf_decoding(values), atol=1e-12
    )
    np.testing.assert_allclose(
        encoded_from_linear(values), oracle.cctf_encoding(values), atol=1e-12
    )
    np.testing.assert_allclose(xyz_from_linear(np.eye(3)), oracle.matrix_RGB_to_XYZ.T, atol=1e-12)


def test_every_8_bit_value_comes_back() -> None:
    every = np.arange(256)
    assert np.array_equal(srgb8_from_linear(linear_from_srgb8(every)), every)


def test_out_of_gamut_light_is_clipped() -> None:
    assert srgb8_from_linear([-0.2, 0.5, 1.7]).tolist() == [0, 188, 255]


@pytest.mark.parametrize("text", ["#8a4b2f", "#000000", "#ffffff", "#0aF3c9"])
def test_hex_comes_back(text: str) -> None:
    assert hex_from_srgb8(srgb8_from_hex(text)) == text.lower()
    assert hex_from_lab(lab_from_hex(text)) == text.lower()


def test_short_hex_doubles_its_digits() -> None:
    assert srgb8_from_hex("#fa0").tolist() == [255, 170, 0]


@pytest.mark.parametrize("text", ["", "8a4b2f", "#8a4b2", "#8a4b2g", "#8a4b2f ", "red", "#８a4b2f"])
def test_what_is_no_hex_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="no colour"):
        srgb8_from_hex(text)


@pytest.mark.parametrize(("lamp", "observer"), TABLES)
def test_lab_agrees_with_colour_science(
    colour_science: ModuleType, lamp: str, observer: int
) -> None:
    light = white(lamp, observer)
    xyz = np.random.default_rng(5).random((200, 3)) ** 3 * light
    expected = colour_science.XYZ_to_Lab(xyz, colour_science.XYZ_to_xy(light))
    got = lab_from_xyz(xyz, light)
    np.testing.assert_allclose(got, expected, atol=1e-9)
    np.testing.assert_allclose(xyz_from_lab(got, light), xyz, atol=1e-12)


def test_lightness_of_known_luminances() -> None:
    # CIE 15: L* = 116 cbrt(Y) - 16 above (24/116)^3, else (29/3)^3 Y
    y = [0.0, 0.005, 0.18, 1.0]
    expected = [0.0, (29 / 3) ** 3 * 0.005, 116 * 0.18 ** (1 / 3) - 16, 100.0]
    np.testing.assert_allclose(lightness_from_y(y), expected, atol=1e-9)
    np.testing.assert_allclose(y_from_lightness(expected), y, atol=1e-12)


@pytest.mark.parametrize("lamp", ["D50", "A", "warm-led", "cool-led"])
def test_adaptation_agrees_with_colour_science(colour_science: ModuleType, lamp: str) -> None:
    expected = colour_science.adaptation.matrix_chromatic_adaptation_VonKries(
        white(lamp), SRGB_WHITE, transform="CAT16"
    )
    np.testing.assert_allclose(adaptation_matrix(white(lamp), SRGB_WHITE), expected, atol=1e-9)


@pytest.mark.parametrize("lamp", ["D65", "D50", "A", "warm-led", "cool-led"])
def test_paper_white_stays_white_under_every_lamp(lamp: str) -> None:
    np.testing.assert_allclose(linear_srgb_from_reflectance(np.ones(31), lamp), 1.0, atol=1e-9)
    assert hex_from_reflectance(np.full(31, 0.2), lamp) == "#7c7c7c"


def test_lamplight_changes_colours_but_not_greys() -> None:
    blue = np.linspace(0.6, 0.05, 31)
    day, lamp = (linear_srgb_from_reflectance(blue, name) for name in ("D65", "A"))
    assert lamp[0] / lamp[2] != pytest.approx(day[0] / day[2], rel=0.05)


def test_lab_to_linear_is_the_inverse_of_the_swatch() -> None:
    np.testing.assert_allclose(
        linear_srgb_from_lab(lab_from_hex("#8a4b2f")),
        linear_from_srgb8(srgb8_from_hex("#8a4b2f")),
        atol=1e-12,
    )


def test_chroma_and_hue_agree_with_colour_science(colour_science: ModuleType) -> None:
    lab = np.random.default_rng(7).uniform([0, -90, -90], [100, 90, 90], (200, 3))
    polar = colour_science.models.Lab_to_LCHab(lab)
    np.testing.assert_allclose(chroma_from_lab(lab), polar[:, 1], atol=1e-12)
    np.testing.assert_allclose(hue_deg_from_lab(lab), polar[:, 2], atol=1e-12)
    assert hue_deg_from_lab([50.0, 0.0, 0.0]) == 0.0
