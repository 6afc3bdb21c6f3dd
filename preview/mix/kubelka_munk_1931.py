"""Absorption and scattering to reflectance and back, for paint that hides: Kubelka-Munk."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from preview.optics.spectrum import Floats


def reflectance_from_ratio(ratio: ArrayLike) -> Floats:
    """Reflectance of a layer so thick that nothing behind it shows, from K/S.

    Parameters
    ----------
    ratio : (...,) K/S, unitless, >= 0.

    Returns
    -------
    (...,) R∞ in (0, 1], inside the paint (before the surface's correction).

    Notes
    -----
    Holds exactly: the inverse of `ratio_from_reflectance`; K/S = 1/4 gives 1/2.
    Leaves out: particles' own angles of scatter, fluorescence, metal flakes.

    References
    ----------
    Kubelka & Munk 1931, Zeitschrift für technische Physik 12:593 (from memory);
    Kubelka 1948, Journal of the Optical Society of America 38:448.
    """
    q = np.asarray(ratio, dtype=np.float64)
    # 1 + q - sqrt(q^2 + 2q), written so that large q loses no digits
    return np.asarray(1.0 / (1.0 + q + np.sqrt(q * (q + 2.0))))


def ratio_from_reflectance(reflectance: ArrayLike) -> Floats:
    """K/S >= 0 from the reflectance R∞ in (0, 1] inside a hiding layer; (...,) to (...,)."""
    r = np.asarray(reflectance, dtype=np.float64)
    return np.asarray((1.0 - r) ** 2 / (2.0 * r))
