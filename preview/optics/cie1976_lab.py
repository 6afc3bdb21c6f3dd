"""CIELAB and its lightness L*, both ways."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from preview.optics.spectrum import Floats

# CIE 15: the cube root gives way to a straight line below (24/116)^3.
_EPSILON = (24.0 / 116.0) ** 3
_SLOPE = 841.0 / 108.0
_OFFSET = 16.0 / 116.0


def _f(ratio: Floats) -> Floats:
    """The cube root, with its straight foot."""
    foot = _SLOPE * ratio + _OFFSET
    return np.where(ratio > _EPSILON, np.cbrt(np.maximum(ratio, 0.0)), foot)


def _f_inverse(value: Floats) -> Floats:
    """The cube, with its straight foot."""
    return np.where(value > 24.0 / 116.0, value**3, (value - _OFFSET) / _SLOPE)


def lab_from_xyz(xyz: ArrayLike, white_xyz: ArrayLike) -> Floats:
    """CIELAB from tristimulus values, relative to a white.

    Parameters
    ----------
    xyz : (..., 3) tristimulus values, in the same unit as `white_xyz`.
    white_xyz : (3,) tristimulus values of the white.

    Returns
    -------
    (..., 3) L* in [0, 100] for colours up to the white, a* and b* unitless.

    References
    ----------
    CIE 15:2018, Colorimetry.
    """
    f = _f(np.asarray(xyz, dtype=np.float64) / np.asarray(white_xyz, dtype=np.float64))
    lightness = 116.0 * f[..., 1] - 16.0
    a = 500.0 * (f[..., 0] - f[..., 1])
    b = 200.0 * (f[..., 1] - f[..., 2])
    return np.stack([lightness, a, b], axis=-1)


def xyz_from_lab(lab: ArrayLike, white_xyz: ArrayLike) -> Floats:
    """Tristimulus values from CIELAB, relative to a white; the inverse of `lab_from_xyz`.

    Parameters
    ----------
    lab : (..., 3) L*, a*, b*.
    white_xyz : (3,) tristimulus values of the white.

    Returns
    -------
    (..., 3) in the unit of `white_xyz`.
    """
    values = np.asarray(lab, dtype=np.float64)
    fy = (values[..., 0] + 16.0) / 116.0
    f = np.stack([fy + values[..., 1] / 500.0, fy, fy - values[..., 2] / 200.0], axis=-1)
    return _f_inverse(f) * np.asarray(white_xyz, dtype=np.float64)


def chroma_from_lab(lab: ArrayLike) -> Floats:
    """C*ab from CIELAB; (..., 3) to (...,)."""
    values = np.asarray(lab, dtype=np.float64)
    return np.asarray(np.hypot(values[..., 1], values[..., 2]))


def hue_deg_from_lab(lab: ArrayLike) -> Floats:
    """Hue angle h_ab in [0, 360) degrees from CIELAB; (..., 3) to (...,), 0 for greys."""
    values = np.asarray(lab, dtype=np.float64)
    return np.asarray(np.degrees(np.arctan2(values[..., 2], values[..., 1])) % 360.0)


def lightness_from_y(y: ArrayLike) -> Floats:
    """L* in [0, 100] from relative luminance Y (white = 1); (...,) to (...,)."""
    return np.asarray(116.0 * _f(np.asarray(y, dtype=np.float64)) - 16.0)


def y_from_lightness(lightness: ArrayLike) -> Floats:
    """Relative luminance Y (white = 1) from L*; the inverse of `lightness_from_y`."""
    return np.asarray(_f_inverse((np.asarray(lightness, dtype=np.float64) + 16.0) / 116.0))
