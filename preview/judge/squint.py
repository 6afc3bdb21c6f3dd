"""Blur in linear light, of a figure without what is behind it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

SQUINT_ARCMIN = 3.75
"""Standard deviation of the squint's blur: half of the contrast is left at 3 cycles per degree.
No standard was found; our convention."""


def blurred(
    premultiplied: NDArray[np.floating], coverage: NDArray[np.floating], sigma_pixels: float
) -> NDArray[np.float64]:
    """A figure's linear light after a Gaussian blur that stays inside the figure.

    Parameters
    ----------
    premultiplied : (rows, columns) or (rows, columns, channels), linear light times coverage.
    coverage : (rows, columns) in [0, 1].
    sigma_pixels : standard deviation, > 0.

    Returns
    -------
    The same shape; the mean of what the figure shows around each pixel, 0 far from it.
    """
    share = np.maximum(spread(coverage, sigma_pixels), 1e-6)
    colour = spread(premultiplied, sigma_pixels)
    return np.asarray(colour / (share if colour.ndim == 2 else share[..., None]))


def spread(picture: NDArray[np.floating], sigma_pixels: float) -> NDArray[np.float64]:
    """A picture after a Gaussian blur, dark all around it.

    Parameters
    ----------
    picture : (rows, columns) or (rows, columns, channels).
    """
    from scipy import ndimage

    sigma = (sigma_pixels, sigma_pixels, 0.0)[: picture.ndim]
    values = np.asarray(picture, np.float64)
    return np.asarray(ndimage.gaussian_filter(values, sigma, mode="constant"), np.float64)
