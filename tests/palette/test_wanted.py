"""Colours as they are written, and what is no colour."""

from __future__ import annotations

from types import ModuleType

import numpy as np
import pytest

from preview.errors import UsageError
from preview.optics.srgb_iec61966 import lab_from_hex
from preview.palette.wanted import read_colour


@pytest.mark.parametrize("text", ["#8a4b2a", "8A4B2A", " #8a4b2a "])
def test_hex_is_read_with_and_without_its_sign(text: str) -> None:
    np.testing.assert_array_equal(read_colour(text).lab, lab_from_hex("#8a4b2a"))
    assert read_colour(text).srgb == "#8a4b2a"


@pytest.mark.parametrize("text", ["lab 52 20 -10", "LAB 52, 20, -10", "lab  52.0 2e1 -10"])
def test_cielab_is_read(text: str) -> None:
    np.testing.assert_array_equal(read_colour(text).lab, [52.0, 20.0, -10.0])


def test_hex_is_the_colour_that_colour_science_makes_of_it(colour_science: ModuleType) -> None:
    rgb = colour_science.notation.HEX_to_RGB("#8a4b2a")
    expected = colour_science.XYZ_to_Lab(colour_science.sRGB_to_XYZ(rgb))
    # 0.01: IEC 61966-2-1 prints its matrix with four digits
    np.testing.assert_allclose(read_colour("#8a4b2a").lab, expected, atol=1e-2)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "rust",
        "#12",
        "#12345g",
        "##123456",
        "lab",
        "lab 50 0",
        "lab 50 0 0 0",
        "lab fifty 0 0",
        "lab nan 0 0",
        "lab inf 0 0",
        "lab 101 0 0",
        "lab -1 0 0",
        "lab 50 400 0",
        # Outside what any light that comes back can be: more than all of it, or less than none
        "lab 99 90 0",
        "lab 2 -150 0",
        # As colourful as no surface can be at this lightness (MacAdam limits)
        "lab 50 200 0",
        "lab 60 0 150",
    ],
)
def test_what_is_no_colour_is_refused_with_a_way_to_write_one(text: str) -> None:
    with pytest.raises(UsageError) as caught:
        read_colour(text)
    assert "lab 52 20 -10" in str(caught.value)
