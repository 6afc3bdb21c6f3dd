"""How fine and how faint a grating the eye sees: Barten's contrast sensitivity."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# Barten's constants for a typical young observer, angles in degrees.
_NOISE_RATIO = 3.0
_SECONDS = 0.1
_MOST_DEGREES, _MOST_CYCLES = 12.0, 15.0
_EFFICIENCY, _PHOTONS = 0.03, 1.2274e6
_NEURAL_NOISE, _INHIBITION_CPD = 3e-8, 7.0
_BLUR_ARCMIN, _BLUR_PER_MM_ARCMIN = 0.5, 0.08


def contrast_sensitivity(
    cycles_per_degree: Floats, luminance: float, field_degrees: float, pupil_field_degrees: float
) -> Floats:
    """1 / Michelson threshold of a grating.

    Parameters
    ----------
    cycles_per_degree : (...) float64, >= 0; 0 gives 0, for a plain field has no contrast.
    luminance : cd/m2, > 0, mean of the grating.
    field_degrees : side of the grating, degrees.
    pupil_field_degrees : side of the field that sets the pupil, degrees.

    Notes
    -----
    Leaves out: age, the dark-adapted eye (rods), anything away from the middle of the sight.

    References
    ----------
    Barten (1999), "Contrast sensitivity of the human eye and its effects on image quality", SPIE,
    doi 10.1117/3.353254, the complete formula with equal sides.
    """
    u = np.asarray(cycles_per_degree, np.float64)
    diameter = pupil_mm(luminance, pupil_field_degrees)
    optics = np.exp(-2.0 * (np.pi * blur_arcmin(diameter) / 60.0 * u) ** 2)
    photons = 1.0 / (_EFFICIENCY * _PHOTONS * _trolands(luminance, diameter))
    size = 1.0 / field_degrees**2 + 1.0 / _MOST_DEGREES**2 + (u / _MOST_CYCLES) ** 2
    # What lateral inhibition lets through; at 0 nothing, so the noise there is without bound.
    passed = -np.expm1(-((u / _INHIBITION_CPD) ** 2))
    noise = photons * passed + _NEURAL_NOISE
    spread = np.sqrt(2.0 / _SECONDS * size * noise / np.where(passed > 0.0, passed, 1.0))
    return np.where(passed > 0.0, optics / (_NOISE_RATIO * spread), 0.0)


def pupil_mm(luminance: float, field_degrees: float = 40.0) -> float:
    """The natural pupil's diameter, mm: 5 - 3 tanh(0.4 log10(L X^2 / 40^2)).

    Parameters
    ----------
    luminance : cd/m2, > 0.
    field_degrees : side of the field, degrees.
    """
    return float(5.0 - 3.0 * np.tanh(0.4 * np.log10(luminance * field_degrees**2 / 40.0**2)))


def blur_arcmin(pupil: float) -> float:
    """Standard deviation of the eye's optical blur, arc minutes, for a pupil in mm."""
    return float(np.hypot(_BLUR_ARCMIN, _BLUR_PER_MM_ARCMIN * pupil))


def _trolands(luminance: float, pupil: float) -> float:
    """Light on the retina, with the Stiles-Crawford effect."""
    directed = 1.0 - (pupil / 9.7) ** 2 + (pupil / 12.4) ** 4
    return 0.25 * float(np.pi) * pupil**2 * luminance * directed
