"""How much of a colour difference the eye's blur leaves, by the size of the part.

Luminance, red-green and blue-yellow blur by different amounts: hue is lost first.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

# Tristimulus values (2 degrees) to luminance, red-green, blue-yellow, as the authors' code has it.
OPPONENT_FROM_XYZ: Floats = np.array(
    [
        [0.2787336, 0.7218031, -0.1065520],
        [-0.4487736, 0.2898056, 0.0771569],
        [0.0859513, -0.5899859, 0.5011089],
    ]
)
XYZ_FROM_OPPONENT: Floats = np.asarray(np.linalg.inv(OPPONENT_FROM_XYZ), dtype=np.float64)

# Weights and spreads in degrees of each channel's Gaussians exp(-r^2 / s^2), as published.
KERNELS: tuple[tuple[tuple[float, float], ...], ...] = (
    ((0.921, 0.0283), (0.105, 0.133), (-0.108, 4.336)),
    ((0.531, 0.0392), (0.330, 0.494)),
    ((0.488, 0.0536), (0.371, 0.386)),
)


def kept_of_bar(width_arcmin: ArrayLike, length_arcmin: ArrayLike) -> Floats:
    """What is left of a bar's difference from its ground in its middle, per channel.

    Parameters
    ----------
    width_arcmin, length_arcmin : (...) arc minutes, >= 0; inf is an endless bar.

    Returns
    -------
    (..., 3): luminance, red-green, blue-yellow; 0 for a bar without width. Luminance overshoots
    1 by some per cent, since one of its Gaussians is negative.

    References
    ----------
    Zhang and Wandell (1996, 1997), "A spatial extension of CIELAB for digital color-image
    reproduction", Journal of the Society for Information Display 5: 61 (title from memory).
    """
    from scipy.special import erf

    wide = np.asarray(width_arcmin, np.float64)[..., None] / 60.0
    long = np.asarray(length_arcmin, np.float64)[..., None] / 60.0
    kept = []
    for kernel in KERNELS:
        weight, spread = np.array(kernel).T
        passed = erf(wide / (2.0 * spread)) * erf(long / (2.0 * spread))
        kept.append((weight / weight.sum() * passed).sum(axis=-1))
    return np.stack(kept, axis=-1)


def filtered_bar(part_xyz: Floats, ground_xyz: Floats, kept: Floats) -> Floats:
    """(..., 3) tristimulus values that a bar's middle has left on its ground.

    Parameters
    ----------
    part_xyz, ground_xyz : (..., 3).
    kept : (..., 3), of `kept_of_bar`.
    """
    ground = ground_xyz @ OPPONENT_FROM_XYZ.T
    part = part_xyz @ OPPONENT_FROM_XYZ.T
    return np.asarray((ground + kept * (part - ground)) @ XYZ_FROM_OPPONENT.T)
