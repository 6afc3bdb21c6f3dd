"""The smallest colour difference that half of a crowd notices, by the size of the marks."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

SMALLEST_TESTED_ARCMIN = 20.0

# Of L*, a* and b*: what it tends to for large marks, and what grows as they shrink (degrees).
_LARGE = np.array([10.16, 10.68, 10.70])
_SMALL = np.array([1.50, 3.08, 5.74])


def noticeable_difference(size_arcmin: ArrayLike, share: float = 0.5) -> Floats:
    """(..., 3): the difference of L*, a* and b* that so large a share of viewers notices.

    Parameters
    ----------
    size_arcmin : (...) side of the marks, arc minutes, > 0. Tested from 20 up; below that it is
        extrapolated.
    share : of viewers, in (0, 1].

    References
    ----------
    Stone, Szafir and Setlur (2014), "An engineering model for color difference as a function of
    size", Color and Imaging Conference 22: 253.
    """
    degrees = np.maximum(np.asarray(size_arcmin, np.float64), 1e-6)[..., None] / 60.0
    return np.asarray(share * (_LARGE + _SMALL / degrees))
