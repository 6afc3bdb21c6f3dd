"""A paint's scattering from one test swatch: the paint mixed with a white in a known share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike

from preview.mix.recipes import constants_of
from preview.mix.two_constant_duncan_1940 import mix_recipes, reflectance_of_mixes
from preview.optics.appearance import lab_from_reflectance
from preview.optics.spectrum import BANDS, Floats
from preview.rack.defaults import scattering_from_curve
from preview.rack.paint import Paint

# How much the fit prefers plain curves, and where it starts. Chosen on the oil tints of the
# tests and on watercolours.
_RIDGE = 2.0
_RIDGE_LEVEL = 0.2
_STARTS = (-3.0, -1.0, 0.5)


def fit_scattering(paint: Paint, white: Paint, share: float, tint: ArrayLike) -> Paint:
    """The paint with its scattering fitted to one tint.

    Parameters
    ----------
    paint : the paint to calibrate; its own reflectance stays as it is.
    white : the white it was mixed with, whose scattering is taken as known.
    share : of the paint in the tint, in (0, 1): 0.5 for 1:1, 0.1 for one drop to nine.
    tint : (3,) CIELAB under D65, 2 degrees, or (31,) reflectance of the dry, hiding tint.

    Returns
    -------
    Paint, calibrated.

    Raises
    ------
    ValueError : the share is outside (0, 1), or the tint has another shape.

    Notes
    -----
    Leaves out: differences between volume and mass; a tint close to the paint or to the white
    says little, L* from 50 to 75 says most.

    References
    ----------
    The idea of one dilution with a standard white: ASTM D4838. The curve and its ridge are ours.
    """
    curve = scattering_from_curve(*fit_scattering_curve(paint, white, share, tint))
    certainty = paint.certainty if paint.certainty == "measured" else "calibrated"
    return replace(paint, scattering=curve, certainty=certainty, calibrated=True)


def fit_scattering_curve(
    paint: Paint, white: Paint, share: float, tint: ArrayLike
) -> tuple[float, float, float]:
    """The three numbers that a rack file keeps as `scattering`; arguments as `fit_scattering`.

    Minimises |Lab of the tint as mixed - Lab of the tint as seen|² + 4 [(0.2 p0)² + p1² + p2²].
    """
    from scipy.optimize import least_squares

    if not 0.0 < share < 1.0:
        raise ValueError(f"share must be in (0, 1), got {share}")
    seen = _tint_lab(tint)
    mixed = _tint_of_curve(paint, white, share)

    def residuals(curve: Floats) -> Floats:
        ridge = _RIDGE * curve * np.array([_RIDGE_LEVEL, 1.0, 1.0])
        return np.concatenate([mixed(curve) - seen, ridge])

    fits = [least_squares(residuals, [start, 0.0, 0.0]) for start in _STARTS]
    p0, p1, p2 = min(fits, key=lambda fit: fit.cost).x
    return float(p0), float(p1), float(p2)


def _tint_lab(tint: ArrayLike) -> Floats:
    """CIELAB of a tint that is given as CIELAB or as a reflectance."""
    values = np.asarray(tint, dtype=np.float64)
    if values.shape == (BANDS,):
        return lab_from_reflectance(values)
    if values.shape == (3,):
        return values
    raise ValueError(f"a tint is 3 CIELAB values or {BANDS} reflectances, got {values.shape}")


def _tint_of_curve(paint: Paint, white: Paint, share: float) -> Callable[[Floats], Floats]:
    """From a curve's three numbers to the CIELAB of the tint that it predicts."""
    absorption, scattering, surface = constants_of([paint, white])
    ratio = absorption[0] / scattering[0]

    def mixed(curve: Floats) -> Floats:
        own = scattering_from_curve(*curve)
        tint = mix_recipes(
            np.stack([ratio * own, absorption[1]]),
            np.stack([own, scattering[1]]),
            surface,
            [share, 1.0 - share],
        )
        return lab_from_reflectance(reflectance_of_mixes(*tint))

    return mixed
