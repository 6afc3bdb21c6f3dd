"""A paint's scattering from test swatches: the paint mixed with a known one in known shares."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from preview.mix.recipes import constants_of
from preview.mix.two_constant_duncan_1940 import mix_recipes, reflectance_of_mixes
from preview.optics.appearance import lab_from_reflectance
from preview.optics.ciede2000 import ciede2000
from preview.optics.spectrum import Floats
from preview.rack.defaults import scattering_from_curve
from preview.rack.paint import Paint

Curve = tuple[float, float, float]
Terms = Literal[1, 3]

# How much the fit prefers plain curves, and where it starts. Chosen on the oil tints of the
# tests and on watercolours.
_RIDGE = 2.0
_RIDGE_LEVEL = 0.2
_STARTS = (-3.0, -1.0, 0.5)


@dataclass(frozen=True, eq=False)
class Dilution:
    """What a paint looked like, mixed with a partner whose scattering is taken as known.

    share : of the paint, in (0, 1): 0.5 for 1:1, 0.1 for one drop to nine.
    lab : (3,) CIELAB under D65, 2 degrees, of the dry, hiding tint.
    """

    partner: Paint
    share: float
    lab: Floats

    def __post_init__(self) -> None:
        if not 0.0 < self.share < 1.0:
            raise ValueError(f"share must be in (0, 1), got {self.share}")
        if np.shape(self.lab) != (3,):
            raise ValueError(f"a tint is 3 CIELAB values, got {np.shape(self.lab)}")


def fit_scattering_curve(paint: Paint, dilutions: Sequence[Dilution], terms: Terms = 3) -> Curve:
    """The numbers that a rack file keeps as `scattering`, fitted to all tints at once.

    Minimises Σ |Lab of a tint as mixed - as seen|² + 4 [(0.2 p0)² + p1² + p2²].

    Parameters
    ----------
    paint : the paint to calibrate; its own reflectance stays as it is.
    dilutions : at least one.
    terms : 3 for a curve; 1 for one number, the same in every band (p1 = p2 = 0).

    Returns
    -------
    p0, p1, p2 of `preview.rack.defaults.scattering_from_curve`.

    Notes
    -----
    Leaves out: differences between volume and mass; a tint close to the paint or to its partner
    says little, L* from 50 to 75 says most.

    References
    ----------
    The idea of one dilution with a standard white: ASTM D4838. The curve and its ridge are ours.
    """
    from scipy.optimize import least_squares

    seen = np.stack([dilution.lab for dilution in dilutions])
    weigh = _RIDGE * np.array([_RIDGE_LEVEL, 1.0, 1.0])[:terms]

    def residuals(numbers: Floats) -> Floats:
        mixed = _labs(with_scattering(paint, _curve(numbers)), dilutions)
        return np.concatenate([(mixed - seen).ravel(), weigh * numbers])

    fits = [least_squares(residuals, [start, 0.0, 0.0][:terms]) for start in _STARTS]
    return _curve(min(fits, key=lambda fit: fit.cost).x)


def with_scattering(paint: Paint, curve: Curve) -> Paint:
    """The paint, calibrated: with the scattering of a fitted curve."""
    certainty = paint.certainty if paint.certainty == "measured" else "calibrated"
    scattering = scattering_from_curve(*curve)
    return replace(paint, scattering=scattering, certainty=certainty, calibrated=True)


def predicted_tints(paint: Paint, dilutions: Sequence[Dilution]) -> Floats:
    """(tints, 31) reflectance of each tint as the paint's present scattering predicts it."""
    tints = []
    for dilution in dilutions:
        constants = constants_of([paint, dilution.partner])
        tints.append(
            reflectance_of_mixes(*mix_recipes(*constants, [dilution.share, 1.0 - dilution.share]))
        )
    return np.stack(tints)


def tint_errors(paint: Paint, dilutions: Sequence[Dilution]) -> Floats:
    """(tints,) CIEDE2000 of each tint as predicted from the tint as seen."""
    return ciede2000(_labs(paint, dilutions), np.stack([dilution.lab for dilution in dilutions]))


def _labs(paint: Paint, dilutions: Sequence[Dilution]) -> Floats:
    """(tints, 3) CIELAB of the tints as predicted."""
    return lab_from_reflectance(predicted_tints(paint, dilutions))


def _curve(numbers: Floats) -> Curve:
    """One or three fitted numbers as three."""
    p0, p1, p2 = (*(float(number) for number in numbers), 0.0, 0.0)[:3]
    return p0, p1, p2
