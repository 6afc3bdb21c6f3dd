"""Samples to pixels: averaged in linear light, set on a backdrop, encoded last."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from preview.optics.srgb_iec61966 import srgb8_from_linear
from preview.render.seen import Seen

_CODES = 1 << 14


@dataclass(frozen=True, eq=False)
class Picture:
    """A linear picture before its backdrop.

    premultiplied : (height, width, 3) float32, linear sRGB times coverage.
    coverage : (height, width) float32 in [0, 1], share of the pixel that the sculpt fills.
    """

    premultiplied: NDArray[np.float32]
    coverage: NDArray[np.float32]


def gather_picture(seen: Seen, linear: NDArray[np.float32]) -> Picture:
    """Average the samples of each pixel.

    Parameters
    ----------
    seen : the samples.
    linear : (samples, 3) or (samples,) float32, linear light of each sample; one channel
        makes a grey picture.
    """
    height, width = seen.view.height, seen.view.width
    pixels = height * width
    coverage = np.bincount(seen.pixel, weights=seen.weight, minlength=pixels)
    if linear.ndim == 1:
        grey = np.bincount(seen.pixel, weights=seen.weight * linear, minlength=pixels)
        rgb = np.repeat(grey[:, None], 3, axis=1)
    else:
        rgb = np.stack(
            [
                np.bincount(seen.pixel, weights=seen.weight * linear[:, k], minlength=pixels)
                for k in range(3)
            ],
            axis=1,
        )
    return Picture(
        premultiplied=rgb.reshape(height, width, 3).astype(np.float32),
        coverage=np.minimum(coverage, 1.0).reshape(height, width).astype(np.float32),
    )


def on_backdrop(picture: Picture, backdrop: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Set the picture on a backdrop and encode it.

    Parameters
    ----------
    backdrop : (3,) or (height, width, 3) float32, linear sRGB.

    Returns
    -------
    (height, width, 3) uint8, sRGB.
    """
    clear = 1.0 - picture.coverage[..., None]
    return _encode(picture.premultiplied + clear * backdrop)


def with_alpha(picture: Picture) -> NDArray[np.uint8]:
    """(height, width, 4) uint8: sRGB with straight alpha, for a transparent backdrop."""
    coverage = picture.coverage[..., None]
    straight = picture.premultiplied / np.where(coverage > 0, coverage, 1.0)
    alpha = np.asarray(coverage * 255.0 + 0.5, dtype=np.uint8)
    return np.concatenate([_encode(straight), alpha], axis=2)


def _encode(linear: NDArray[np.floating]) -> NDArray[np.uint8]:
    """Linear light to sRGB bytes by a table fine enough to round as the formula does."""
    scaled = np.sqrt(np.clip(linear, 0.0, 1.0)) * (_CODES - 1) + 0.5
    codes: NDArray[np.uint8] = _code_table()[scaled.astype(np.uint16)]
    return codes


@cache
def _code_table() -> NDArray[np.uint8]:
    """sRGB byte for each step of the square root of linear light."""
    root = np.arange(_CODES) / (_CODES - 1)
    return srgb8_from_linear(root * root)
