"""The painters' circle: where a colour stands on it, and whether it is warm or cold."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from preview.optics.cie1976_lab import chroma_from_lab, hue_deg_from_lab
from preview.optics.spectrum import Floats

Side = Literal["warm", "cold", "neutral"]

# The twelve hues in steps of 30° and their CIELAB hue angles: red, yellow and blue with their
# mixtures as the cube of Gossett & Chen 2004 paints them. Tests recompute the angles.
HUES = (
    "red",
    "red-orange",
    "orange",
    "yellow-orange",
    "yellow",
    "yellow-green",
    "green",
    "blue-green",
    "blue",
    "blue-violet",
    "violet",
    "red-violet",
)
HUE_ANGLES_DEG: Floats = np.array(
    [40.0, 44.69, 59.79, 82.97, 102.85, 125.26, 141.38, 168.05, 274.06, 309.46, 328.24, 378.2]
)

# Six warm and six cold (common practice, no source): red-violet to yellow, yellow-green to violet.
COLD_BEGINS_DEG, WARM_BEGINS_DEG = 135.0, 315.0
BORDERS = (COLD_BEGINS_DEG, WARM_BEGINS_DEG)
BORDER_WIDTH_DEG = 15.0
NEUTRAL_CHROMA = 8.0


@dataclass(frozen=True)
class CirclePlace:
    """Where a colour stands on the painters' circle.

    wheel_deg : in [0, 360), red 0, yellow 120, blue 240.
    hue : the nearest of the twelve hues.
    side : warm, cold, or neutral when CIELAB chroma is below 8.
    borderline : less than 15° from the border between warm and cold.
    hue_deg, chroma : CIELAB hue angle and chroma, for all that the circle blurs: one step of 30°
        holds every cyan and turquoise.
    """

    wheel_deg: float
    hue: str
    side: Side
    borderline: bool
    hue_deg: float
    chroma: float


def wheel_from_hue(hue_deg: ArrayLike) -> Floats:
    """Degrees on the painters' circle from CIELAB hue angles; (...,) to (...,), in [0, 360).

    Piecewise linear between the twelve hues.

    References
    ----------
    Gossett & Chen 2004, Paint inspired color mixing and compositing for visualization, IEEE
    Symposium on Information Visualization.
    """
    angle = np.mod(np.asarray(hue_deg, dtype=np.float64) - HUE_ANGLES_DEG[0], 360.0)
    knots = np.append(HUE_ANGLES_DEG - HUE_ANGLES_DEG[0], 360.0)
    return np.asarray(np.mod(np.interp(angle, knots, np.arange(13) * 30.0), 360.0))


def hue_from_wheel(wheel_deg: ArrayLike) -> Floats:
    """CIELAB hue angles in [0, 360) from degrees on the circle; inverse of `wheel_from_hue`."""
    knots = np.append(HUE_ANGLES_DEG, HUE_ANGLES_DEG[0] + 360.0)
    wheel = np.mod(np.asarray(wheel_deg, dtype=np.float64), 360.0)
    return np.asarray(np.mod(np.interp(wheel, np.arange(13) * 30.0, knots), 360.0))


def place_on_circle(lab: ArrayLike) -> CirclePlace:
    """Where one colour stands on the painters' circle.

    Parameters
    ----------
    lab : (3,) CIELAB under D65.
    """
    chroma, hue_deg = float(chroma_from_lab(lab)), float(hue_deg_from_lab(lab))
    wheel = float(wheel_from_hue(hue_deg))
    cold = COLD_BEGINS_DEG <= wheel < WARM_BEGINS_DEG
    side: Side = "cold" if cold else "warm"
    away = [abs((wheel - border + 180.0) % 360.0 - 180.0) for border in BORDERS]
    if chroma < NEUTRAL_CHROMA:
        side = "neutral"
    return CirclePlace(
        wheel,
        HUES[round(wheel / 30.0) % 12],
        side,
        side != "neutral" and min(away) < BORDER_WIDTH_DEG,
        hue_deg,
        chroma,
    )


def warmth(lab: ArrayLike) -> Floats:
    """How warm colours feel, to compare them: the greater, the warmer.

    Use differences alone. The zero of the scale says "cool" of every neutral and most browns.

    Parameters
    ----------
    lab : (..., 3) CIELAB under D65.

    Returns
    -------
    (...,) unitless, about -2 to 3.

    References
    ----------
    Ou, Luo, Woodcock & Wright 2004, A study of colour emotion and colour preference. Part I:
    Colour emotions for single colours, Color Research & Application 29:232.
    """
    away = np.radians(hue_deg_from_lab(lab) - 50.0)
    return np.asarray(-0.5 + 0.02 * chroma_from_lab(lab) ** 1.07 * np.cos(away))
