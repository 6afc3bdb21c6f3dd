"""Light that the paint's own surface throws back, outside and inside: Saunderson."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from preview.optics.spectrum import Floats


def outer_from_inner(inner: ArrayLike, k1: ArrayLike, k2: ArrayLike) -> Floats:
    """Reflectance as measured outside, from the reflectance inside the paint.

    Parameters
    ----------
    inner : (...,) in [0, 1].
    k1 : share of arriving light that the surface mirrors, in [0, 1); 0 when the mirror
        reflection is not seen.
    k2 : share of light from inside that the surface throws back, in [0, 1).

    Returns
    -------
    (...,) in [k1, 1].

    Notes
    -----
    Holds exactly: 1 stays 1; the inverse of `inner_from_outer`.

    References
    ----------
    Saunderson 1942, Journal of the Optical Society of America 32:727 (from memory).
    """
    r = np.asarray(inner, dtype=np.float64)
    k1, k2 = np.asarray(k1, dtype=np.float64), np.asarray(k2, dtype=np.float64)
    return np.asarray(k1 + (1.0 - k1) * (1.0 - k2) * r / (1.0 - k2 * r))


def inner_from_outer(outer: ArrayLike, k1: ArrayLike, k2: ArrayLike) -> Floats:
    """Reflectance inside the paint from that outside; values below k1 come out below 0."""
    r = np.asarray(outer, dtype=np.float64)
    k1, k2 = np.asarray(k1, dtype=np.float64), np.asarray(k2, dtype=np.float64)
    return np.asarray((r - k1) / (1.0 - k1 - k2 + k2 * r))
