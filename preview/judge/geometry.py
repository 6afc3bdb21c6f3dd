"""Millimetres on the figure, arc minutes in the eye, pixels in between."""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Size = TypeVar("Size", float, NDArray[np.float64])

PIXELS_PER_DEGREE = 120.0
"""Pictures for judging are at least this fine: Nyquist 60 cycles per degree, an eye's limit."""


def arcmin_from_mm(size_mm: Size, distance_m: float) -> Size:
    """The visual angle of a length seen square on.

    Parameters
    ----------
    size_mm : float or (...) float64, mm, >= 0.
    distance_m : metres from the eye, > 0.

    References
    ----------
    ISO 8596 defines acuity by this angle: a gap of 1 arc minute is acuity 1.0.
    """
    half = np.arctan(np.asarray(size_mm) / (2000.0 * distance_m))
    angle = 60.0 * np.degrees(2.0 * half)
    return angle if isinstance(size_mm, np.ndarray) else float(angle)


def mm_from_arcmin(angle_arcmin: Size, distance_m: float) -> Size:
    """The length that fills a visual angle, square on; the inverse of `arcmin_from_mm`.

    Parameters
    ----------
    angle_arcmin : float or (...) float64, arc minutes, in [0, 10800).
    distance_m : metres from the eye, > 0.
    """
    half = np.radians(np.asarray(angle_arcmin) / 120.0)
    size = 2000.0 * distance_m * np.tan(half)
    return size if isinstance(angle_arcmin, np.ndarray) else float(size)


def mm_per_pixel(distance_m: float, pixels_per_degree: float = PIXELS_PER_DEGREE) -> float:
    """The pixel, in mm on the figure, at which a picture has so many pixels per degree.

    Parameters
    ----------
    distance_m : metres from the eye, > 0.
    pixels_per_degree : > 0.
    """
    return 1000.0 * distance_m * float(np.radians(1.0)) / pixels_per_degree


def pixels_per_degree(pixel_mm: float, distance_m: float) -> float:
    """How many pixels of `pixel_mm` an eye at `distance_m` sees in a degree.

    Parameters
    ----------
    pixel_mm : mm on the figure, > 0.
    distance_m : metres from the eye, > 0.
    """
    return 1000.0 * distance_m * float(np.radians(1.0)) / pixel_mm
