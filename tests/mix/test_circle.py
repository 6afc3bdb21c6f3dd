"""The painters' circle against the colour cube that it comes from, and warmth."""

from __future__ import annotations

import numpy as np
import pytest

from preview.mix.circle import (
    HUE_ANGLES_DEG,
    HUES,
    hue_from_wheel,
    place_on_circle,
    warmth,
    wheel_from_hue,
)
from preview.optics.cie1976_lab import lab_from_xyz
from preview.optics.spectrum import Floats
from preview.optics.srgb_iec61966 import (
    SRGB_WHITE,
    lab_from_hex,
    linear_from_encoded,
    xyz_from_linear,
)

# Gossett & Chen 2004: sRGB at the corners of the cube (red, yellow, blue), weight t²(3 - 2t)
CORNERS = {
    (0, 0, 0): (1.0, 1.0, 1.0),
    (1, 0, 0): (1.0, 0.0, 0.0),
    (0, 1, 0): (1.0, 1.0, 0.0),
    (0, 0, 1): (0.163, 0.373, 0.6),
    (1, 1, 0): (1.0, 0.5, 0.0),
    (1, 0, 1): (0.5, 0.0, 0.5),
    (0, 1, 1): (0.0, 0.66, 0.2),
    (1, 1, 1): (0.2, 0.094, 0.0),
}
WAY = [(1, 0, 0), (1, 1, 0), (0, 1, 0), (0, 1, 1), (0, 0, 1), (1, 0, 1), (1, 0, 0)]

# Ou et al. 2004's warm-cool score of the twelve hues, from their formula
WARMTH = [2.35, 2.18, 1.80, 1.41, 1.11, 0.12, -0.55, -0.96, -1.18, -0.79, -0.23, 1.09]


def _hue_lab(number: int) -> Floats:
    """CIELAB of one of the twelve hues, in the cube."""
    start, end = np.array(WAY[number // 2]), np.array(WAY[number // 2 + 1])
    t = start + (end - start) * 0.5 * (number % 2)
    weight = t**2 * (3 - 2 * t)
    srgb = sum(
        np.prod([w if on else 1 - w for w, on in zip(weight, corner, strict=True)]) * np.array(rgb)
        for corner, rgb in CORNERS.items()
    )
    return lab_from_xyz(xyz_from_linear(linear_from_encoded(srgb)), SRGB_WHITE)


@pytest.mark.parametrize("number", range(12), ids=HUES)
def test_the_angles_come_from_the_cube(number: int) -> None:
    _, a, b = _hue_lab(number)
    angle = np.degrees(np.arctan2(b, a)) % 360
    # 0.006: written with two decimals
    assert HUE_ANGLES_DEG[number] % 360 == pytest.approx(angle, abs=0.006)


@pytest.mark.parametrize("number", range(12), ids=HUES)
def test_each_hue_stands_at_its_own_degrees(number: int) -> None:
    place = place_on_circle(_hue_lab(number))
    assert place.hue == HUES[number]
    assert place.wheel_deg == pytest.approx(30.0 * number, abs=0.01) or number == 0
    assert place.side == ("cold" if 5 <= number <= 10 else "warm")


@pytest.mark.parametrize(
    ("wheel_deg", "side", "borderline"),
    [
        (110, "warm", False),
        (128, "warm", True),
        (142, "cold", True),
        (160, "cold", False),
        (290, "cold", False),
        (308, "cold", True),
        (322, "warm", True),
        (340, "warm", False),
    ],
)
def test_the_borders_lie_at_135_and_315_degrees(
    wheel_deg: float, side: str, borderline: bool
) -> None:
    hue = np.radians(hue_from_wheel(wheel_deg))
    place = place_on_circle([50.0, 40.0 * np.cos(hue), 40.0 * np.sin(hue)])
    assert place.wheel_deg == pytest.approx(wheel_deg)
    assert (place.side, place.borderline) == (side, borderline)


def test_the_circle_can_be_walked_both_ways() -> None:
    hue = np.arange(0.0, 360.0, 1.5)
    np.testing.assert_allclose(hue_from_wheel(wheel_from_hue(hue)), hue, atol=1e-9)
    wheel = wheel_from_hue(np.arange(HUE_ANGLES_DEG[0], HUE_ANGLES_DEG[0] + 359.9, 0.1))
    assert np.all(np.diff(wheel) > 0)


def test_near_greys_have_no_side() -> None:
    place = place_on_circle([60.0, 4.0, 5.0])
    assert place.side == "neutral"
    assert not place.borderline


def test_warmth_of_the_twelve_hues() -> None:
    labs = np.stack([_hue_lab(number) for number in range(12)])
    # 0.03: the scores stand for 8-bit colours with two decimals
    np.testing.assert_allclose(warmth(labs), WARMTH, atol=0.03)


def test_warmth_orders_an_orange_a_brown_and_a_blue() -> None:
    orange, brown, blue = (
        float(warmth(lab_from_hex(text))) for text in ("#d0703a", "#6b4a33", "#2f5680")
    )
    assert orange > brown > blue
