"""What a reflectance looks like under a lamp: tristimulus values, CIELAB, sRGB."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike

from preview.optics.cat16_li_2017 import adaptation_matrix
from preview.optics.cie1976_lab import lab_from_xyz, xyz_from_lab
from preview.optics.spectrum import Floats
from preview.optics.srgb_iec61966 import (
    LINEAR_FROM_XYZ,
    SRGB_WHITE,
    hex_from_srgb8,
    linear_from_xyz,
    srgb8_from_linear,
)
from preview.optics.weights import Observer, weights, white


def xyz_from_reflectance(
    reflectance: ArrayLike, illuminant: str = "D65", observer: Observer = 2
) -> Floats:
    """Tristimulus values under a lamp, by ASTM E308 weights.

    Parameters
    ----------
    reflectance : (..., 31) unitless in [0, 1], 400-700 nm by 10 nm.
    illuminant : see `preview.optics.weights.weights`.
    observer : degrees, 2 or 10.

    Returns
    -------
    (..., 3) X, Y, Z; the perfect white has Y = 1.

    Raises
    ------
    UsageError : unknown lamp or observer.
    """
    return np.asarray(np.asarray(reflectance, dtype=np.float64) @ weights(illuminant, observer))


def lab_from_reflectance(
    reflectance: ArrayLike, illuminant: str = "D65", observer: Observer = 2
) -> Floats:
    """CIELAB under a lamp, relative to the perfect white under the same lamp.

    Parameters and Raises as in `xyz_from_reflectance`.

    Returns
    -------
    (..., 3) L* in [0, 100], a*, b*.
    """
    return lab_from_xyz(
        xyz_from_reflectance(reflectance, illuminant, observer), white(illuminant, observer)
    )


@cache
def linear_srgb_weights(illuminant: str = "D65") -> Floats:
    """(31, 3): a reflectance times this is linear sRGB for an eye adapted to the lamp; read-only.

    A picture maker can multiply its own spectra by it; see `linear_srgb_from_reflectance`.
    """
    adapt = adaptation_matrix(white(illuminant), SRGB_WHITE)
    table = weights(illuminant) @ (LINEAR_FROM_XYZ @ adapt).T
    table.setflags(write=False)
    return table


def linear_srgb_from_reflectance(reflectance: ArrayLike, illuminant: str = "D65") -> Floats:
    """Linear sRGB that shows on a display what an eye adapted to the lamp sees (CAT16).

    Parameters
    ----------
    reflectance : (..., 31) unitless in [0, 1].
    illuminant : see `preview.optics.weights.weights`; the 2 degree observer.

    Returns
    -------
    (..., 3) linear; the perfect white is (1, 1, 1) under every lamp. Values below 0 or above 1
    are colours that sRGB cannot show.

    Raises
    ------
    UsageError : unknown lamp.
    """
    return np.asarray(np.asarray(reflectance, dtype=np.float64) @ linear_srgb_weights(illuminant))


def hex_from_reflectance(reflectance: ArrayLike, illuminant: str = "D65") -> str:
    """ "#rrggbb" of one (31,) reflectance under a lamp, clipped to the gamut of sRGB."""
    return hex_from_srgb8(srgb8_from_linear(linear_srgb_from_reflectance(reflectance, illuminant)))


def linear_srgb_from_lab(lab: ArrayLike) -> Floats:
    """(..., 3) linear sRGB of CIELAB under D65, 2 degrees; out of gamut below 0 or above 1."""
    return linear_from_xyz(xyz_from_lab(lab, SRGB_WHITE))
