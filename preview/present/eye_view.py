"""A picture as eyes have it: blurred by their optics, without colours they miss, in values alone.

The blur is that of the eye's lens and pupil, in linear light. No sensitivity filter is shown as a
picture: well above threshold, fine and coarse contrast look about equally strong (Georgeson and
Sullivan 1975, Journal of Physiology 252: 627, from memory).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from preview.judge.eye.csf_barten_1999 import blur_arcmin, pupil_mm
from preview.judge.eyes import Eyes
from preview.judge.geometry import mm_per_pixel, pixels_per_degree
from preview.judge.squint import SQUINT_ARCMIN, spread
from preview.optics.srgb_iec61966 import srgb8_from_linear, xyz_from_linear
from preview.paint.picture import Picture, on_backdrop
from preview.render.view import View

Floats = NDArray[np.float64]
Array = NDArray[np.uint8]

GROUND = 0.5
"""Linear light of the plain neutral behind the figure."""


def shown_on_ground(picture: Picture) -> Array:
    """(rows, columns, 3) uint8 sRGB of a picture on the plain neutral."""
    return on_backdrop(picture, np.full(3, GROUND, np.float32))


def on_ground(picture: Picture) -> Floats:
    """(rows, columns, 3) linear sRGB of a picture on the plain neutral."""
    clear = 1.0 - picture.coverage[..., None].astype(np.float64)
    return np.asarray(picture.premultiplied + GROUND * clear)


def at_distance(view: View, distance_m: float) -> tuple[View, float]:
    """A view with pixels as fine as an eye at a distance resolves, and its pixels per degree."""
    side = max(16, round(view.width * view.mm_per_pixel / mm_per_pixel(distance_m)))
    pixel_mm = view.mm_per_pixel * view.width / side
    shot = replace(view, mm_per_pixel=pixel_mm, width=side, height=side)
    return shot, pixels_per_degree(pixel_mm, distance_m)


def resolved(linear: Floats, pixel_mm: float, distance_m: float, luminance: float) -> Floats:
    """What the eye's optics leave of a picture at a distance, not made smaller.

    Parameters
    ----------
    linear : (rows, columns, 3) linear sRGB.
    pixel_mm : mm on the figure, > 0.
    luminance : cd/m2 to which the eye is adapted; sets the pupil.
    """
    return _soft(linear, blur_arcmin(pupil_mm(luminance)), pixel_mm, distance_m)


def squinted(linear: Floats, pixel_mm: float, distance_m: float) -> Floats:
    """The picture in values through narrowed eyes; parameters as `resolved`."""
    return _soft(in_values(linear), SQUINT_ARCMIN, pixel_mm, distance_m)


def in_values(linear: Floats) -> Floats:
    """The picture's luminance as a grey picture."""
    y = np.clip(xyz_from_linear(linear)[..., 1], 0.0, 1.0)
    return np.repeat(y[..., None], 3, axis=2)


def seen_by(eyes: Eyes, linear: Floats) -> Floats:
    """The picture in the colours that are left to some eyes."""
    return np.clip(eyes.see(linear), 0.0, 1.0)


def encoded(linear: Floats) -> Array:
    """(rows, columns, 3) uint8 sRGB."""
    return srgb8_from_linear(linear)


def _soft(linear: Floats, sigma_arcmin: float, pixel_mm: float, distance_m: float) -> Floats:
    """A blur of so many arc minutes, the neutral going on beyond the picture."""
    sigma = sigma_arcmin / 60.0 * pixels_per_degree(pixel_mm, distance_m)
    return GROUND + spread(linear - GROUND, sigma)
