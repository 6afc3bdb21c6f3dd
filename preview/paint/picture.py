"""Samples to pixels: averaged in linear light, set on a backdrop, encoded last."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from preview.optics.srgb_iec61966 import srgb8_from_linear
from preview.render.seen import Seen
from preview.shape.compiled import compiled

_CODES = 1 << 16


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
    rgb = np.zeros((height * width, 3), np.float32)
    coverage = np.zeros(height * width, np.float32)
    channels = linear[:, None] if linear.ndim == 1 else linear
    _gather(seen.pixel, seen.weight, channels, rgb, coverage)
    if linear.ndim == 1:
        rgb[:, 1:] = rgb[:, :1]
    return Picture(
        premultiplied=rgb.reshape(height, width, 3),
        coverage=np.minimum(coverage, np.float32(1)).reshape(height, width),
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
    behind = np.broadcast_to(np.asarray(backdrop, np.float32), picture.premultiplied.shape)
    codes = np.empty(picture.premultiplied.shape, np.uint8)
    _set_on(picture.premultiplied, picture.coverage, behind, _code_table(), codes)
    return codes


def with_alpha(picture: Picture) -> NDArray[np.uint8]:
    """(height, width, 4) uint8: sRGB with straight alpha, for a transparent backdrop."""
    coverage = picture.coverage[..., None]
    filled: NDArray[np.float32] = np.where(coverage > 0, coverage, np.float32(1))
    straight = picture.premultiplied / filled
    alpha = np.asarray(coverage * 255.0 + 0.5, dtype=np.uint8)
    nothing = np.zeros(3, np.float32)
    colour = on_backdrop(Picture(straight, np.ones_like(picture.coverage)), nothing)
    return np.concatenate([colour, alpha], axis=2)


@compiled
def _gather(
    pixel: NDArray[np.int32],
    weight: NDArray[np.float32],
    channels: NDArray[np.float32],
    rgb: NDArray[np.float32],
    coverage: NDArray[np.float32],
) -> None:
    """Add each sample's light and weight to its pixel."""
    for i in range(len(pixel)):
        coverage[pixel[i]] += weight[i]
        for channel in range(channels.shape[1]):
            rgb[pixel[i], channel] += weight[i] * channels[i, channel]


@compiled
def _set_on(
    premultiplied: NDArray[np.float32],
    coverage: NDArray[np.float32],
    behind: NDArray[np.float32],
    table: NDArray[np.uint8],
    codes: NDArray[np.uint8],
) -> None:
    """Fill in the sRGB bytes of a picture before its backdrop."""
    last = np.float32(len(table) - 1)
    height, width, channels = premultiplied.shape
    for row in range(height):
        for column in range(width):
            clear = np.float32(1.0) - coverage[row, column]
            for k in range(channels):
                light = premultiplied[row, column, k] + clear * behind[row, column, k]
                # What is no number becomes black: as an index it would read anywhere.
                light = min(light, np.float32(1.0)) if light > 0 else np.float32(0.0)
                codes[row, column, k] = table[np.uint32(np.sqrt(light) * last + np.float32(0.5))]


@cache
def _code_table() -> NDArray[np.uint8]:
    """sRGB byte for each step of the square root of light; fine enough to round as the formula."""
    root = np.arange(_CODES) / (_CODES - 1)
    return srgb8_from_linear(root * root)
