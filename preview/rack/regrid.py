"""A measured curve brought to fourpot's grid, 400 to 700 nm by 10 nm."""

from __future__ import annotations

import numpy as np

from preview.optics.spectrum import WAVELENGTHS_NM, Floats


def on_grid(wavelength_nm: Floats, values: Floats) -> Floats:
    """The values at 400-700 nm by 10 nm.

    Where the grid's wavelengths were measured, these values are taken as they are. Elsewhere the
    curve is interpolated by a cubic spline with not-a-knot ends, and kept within the range of
    the values given.

    Parameters
    ----------
    wavelength_nm : (readings,) nm, rising, from 400 or below to 700 or above.
    values : (readings,) unitless.

    Returns
    -------
    (31,) unitless.

    Notes
    -----
    Leaves out: correction for the width of the instrument's bands.

    References
    ----------
    Cubic spline interpolation is among those that CIE 15 names (from memory);
    de Boor 1978, A Practical Guide to Splines (from memory).
    """
    place = np.searchsorted(wavelength_nm, WAVELENGTHS_NM)
    place = np.minimum(place, len(wavelength_nm) - 1)
    if np.array_equal(wavelength_nm[place], WAVELENGTHS_NM):
        return values[place]
    from scipy.interpolate import CubicSpline

    curve = CubicSpline(wavelength_nm, values)(WAVELENGTHS_NM)
    return np.clip(curve, values.min(), values.max())
