"""What is assumed of a paint where nothing was measured."""

from __future__ import annotations

from typing import Literal

import numpy as np

from preview.optics.appearance import lab_from_reflectance
from preview.optics.spectrum import BANDS, WAVELENGTHS_NM, Floats
from preview.rack.paint import Hiding, Paint

Covering = Literal["tints", "white", "stated", "unstated"]

# Scattering relative to white, by stated hiding. An estimate: fitted values of single colours
# lie anywhere from 0.03 to 1.
SCATTERING_OF_WHITE = 1.0
SCATTERING_BY_HIDING: dict[Hiding, float] = {
    "opaque": 0.5,
    "semi": 0.25,
    "transparent": 0.1,
    "unknown": 0.35,
}

# What counts as a white or off-white: light and nearly neutral (common practice, no source).
OFF_WHITE_LIGHTNESS = 80.0
OFF_WHITE_CHROMA = 16.0

# Saunderson's constants for a paint film of refractive index 1.5: k1 from Fresnel's equations
# at normal incidence, k2 from their integral over diffuse light from inside.
MIRROR = 0.04
INNER_MIRROR = 0.6
# An eye, a scan or a photograph takes in part of the mirror reflection: half of it is assumed.
MIRROR_IN_SWATCH = 0.02
# How much of the darkest band's light may come from the mirror. Picked among 0.5, 0.75 and 0.9
# on the oil tints of the tests, whose medians moved by less than 1 CIEDE2000.
_MIRROR_SHARE = {"included": 0.9, "swatch": 0.5}

# The blackest paint reflects 2 % inside (K/S = 24; common practice, no source), which is 0.8 %
# outside. A swatch that is darker still (L* under 7.2) gets a stronger inner mirror, not endless
# tinting strength.
BLACKEST_INSIDE = 0.02
BLACKEST_OUTSIDE = 0.008


def is_off_white(reflectance: Floats) -> bool:
    """Whether (31,) reflectance looks white or off-white under D65."""
    lightness, a, b = lab_from_reflectance(reflectance)
    return bool(lightness >= OFF_WHITE_LIGHTNESS and np.hypot(a, b) <= OFF_WHITE_CHROMA)


def default_scattering(reflectance: Floats, hiding: Hiding) -> Floats:
    """(31,) scattering relative to white = 1, the same in every band."""
    level = SCATTERING_OF_WHITE if is_off_white(reflectance) else SCATTERING_BY_HIDING[hiding]
    return np.full(BANDS, level)


def covering_known_from(paint: Paint) -> Covering:
    """What says how well a paint covers: its tints, a white's likeness, the rack's word, nothing.

    All but tints are assumptions about its scattering; see `default_scattering`.
    """
    if paint.calibrated:
        return "tints"
    if is_off_white(paint.reflectance):
        return "white"
    return "unstated" if paint.hiding == "unknown" else "stated"


def scattering_from_curve(p0: float, p1: float, p2: float) -> Floats:
    """(31,) scattering from the three numbers of a calibrated paint.

    log S = p0 + p1 t + p2 (t² - 1/3), where t runs from -1 at 400 nm to 1 at 700 nm.
    """
    t = (WAVELENGTHS_NM - 550.0) / 150.0
    return np.asarray(np.exp(p0 + p1 * t + p2 * (t**2 - 1.0 / 3.0)))


def surface_of(reflectance: Floats, seen: str) -> tuple[float, float]:
    """Saunderson's k1 and k2 assumed of a paint's surface.

    Parameters
    ----------
    reflectance : (31,) as measured or swatched.
    seen : "included" when the mirror reflection was measured too, "excluded" when it was not,
        "swatch" for a colour as an eye or a camera takes it.

    Returns
    -------
    k1 below every value of `reflectance`, and k2, so that the paint alone comes out as it went in.
    """
    darkest, brightest = float(reflectance.min()), float(reflectance.max())
    limit = {"included": MIRROR, "swatch": MIRROR_IN_SWATCH}.get(seen, 0.0)
    spare = _MIRROR_SHARE.get(seen, 0.0) * max(0.0, darkest - BLACKEST_OUTSIDE)
    trapped = (BLACKEST_INSIDE - brightest) / (BLACKEST_INSIDE * (1.0 - brightest))
    return min(limit, spare), max(INNER_MIRROR, trapped)
