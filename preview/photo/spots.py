"""Places in a photograph: a disc, or what lies between four corners."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.errors import PhotoFault, UsageError
from preview.optics.spectrum import Floats
from preview.optics.srgb_iec61966 import linear_from_srgb8
from preview.photo.picture import Photo

_LEAST_PIXELS = 40
# The rim of what stands between four corners is left out: corners are never hit exactly.
_INNER = 0.8
_CLIPPED_SHARE = 0.01


@dataclass(frozen=True)
class Disc:
    """A disc, in pixels from the left and top edge of the upright photograph."""

    x: float
    y: float
    radius: float


@dataclass(frozen=True, eq=False)
class Quad:
    """Four corners in turn, (4, 2) pixels, of a convex shape."""

    corners: Floats


Spot = Disc | Quad


@dataclass(frozen=True, eq=False)
class Reading:
    """What a spot of a photograph looks like.

    linear : (3,) mean linear red, green and blue in [0, 1].
    slope : how much its light differs from one side to the other, as a share of the mean.
    bright, dark : whether more than 1 % of its pixels stand at 255, or at 0, in some channel.
    """

    linear: Floats
    slope: float
    bright: bool
    dark: bool

    @property
    def clipped(self) -> str:
        """ "too bright", "too dark", or "" where all pixels hold a value."""
        return "too bright" if self.bright else "too dark" if self.dark else ""


def spot_from(text: str, option: str) -> Spot:
    """A spot as typed: "X,Y,RADIUS", or four corners "X,Y,X,Y,X,Y,X,Y" in any order.

    Raises
    ------
    UsageError : not three or eight numbers, no radius, or corners of no convex shape.
    """
    try:
        numbers = [float(word) for word in text.split(",")]
    except ValueError:
        numbers = []
    if len(numbers) not in (3, 8) or not all(math.isfinite(n) for n in numbers):
        raise UsageError(
            f'{option} must be 3 or 8 numbers, got "{text}"',
            "command line",
            "write X,Y,RADIUS for a disc, or X,Y,X,Y,X,Y,X,Y for four corners, in pixels",
        )
    if len(numbers) == 8:
        return _quad(np.array(numbers).reshape(4, 2), text, option)
    if numbers[2] <= 0:
        raise UsageError(f'the radius of {option} must be above 0, got "{text}"', "command line")
    return Disc(*numbers)


def read_spot(photo: Photo, spot: Spot, option: str) -> Reading:
    """The mean colour of a spot.

    Raises
    ------
    PhotoFault : the spot reaches out of the photograph, or holds too few pixels.
    """
    left, top, right, bottom = _box(spot)
    height, width = photo.srgb8.shape[:2]
    if left < 0 or top < 0 or right > width or bottom > height:
        raise PhotoFault(
            f"{option} reaches from ({left:.0f}, {top:.0f}) to ({right:.0f}, {bottom:.0f}), out of "
            f"the photograph of {width} x {height} pixels",
            photo.name,
            "count pixels from the left and top edge of the photograph as a viewer shows it",
        )
    x0, y0 = math.floor(left), math.floor(top)
    part = photo.srgb8[y0 : math.ceil(bottom), x0 : math.ceil(right)]
    y, x = np.mgrid[: part.shape[0], : part.shape[1]]
    x, y = x + x0 + 0.5, y + y0 + 0.5
    inside = _inside(spot, x, y)
    if np.count_nonzero(inside) < _LEAST_PIXELS:
        raise PhotoFault(
            f"{option} holds {np.count_nonzero(inside)} pixels; {_LEAST_PIXELS} are needed",
            photo.name,
            "make it larger, or photograph from closer by",
        )
    pixels = part[inside]
    linear = linear_from_srgb8(pixels)
    return Reading(
        linear=linear.mean(axis=0),
        slope=_slope(linear.mean(axis=1), np.stack([x[inside], y[inside]], axis=1)),
        bright=bool((pixels == 255).any(axis=1).mean() > _CLIPPED_SHARE),
        dark=bool((pixels == 0).any(axis=1).mean() > _CLIPPED_SHARE),
    )


def shrunk(corners: Floats, share: float) -> Quad:
    """Four corners drawn in towards their middle."""
    middle = corners.mean(axis=0)
    return Quad(middle + share * (corners - middle))


def _quad(points: Floats, text: str, option: str) -> Quad:
    """Four corners put in turn, clockwise as seen, with the rim left out."""
    off = points - points.mean(axis=0)
    corners = points[np.argsort(np.arctan2(off[:, 1], off[:, 0]))]
    if np.any(_turns(corners) <= 1.0):
        raise UsageError(
            f'the corners of {option} make no quadrilateral: "{text}"',
            "command line",
            "give the four outer corners, none of them between the others",
        )
    return Quad(corners)


def _turns(corners: Floats) -> Floats:
    """(4,) twice the area of the triangle at each corner; above 0 where it is convex."""
    before, after = corners - np.roll(corners, 1, axis=0), np.roll(corners, -1, axis=0) - corners
    return np.asarray(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0])


def _box(spot: Spot) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of a spot."""
    if isinstance(spot, Disc):
        r = spot.radius
        return spot.x - r, spot.y - r, spot.x + r, spot.y + r
    (left, top), (right, bottom) = spot.corners.min(axis=0), spot.corners.max(axis=0)
    return float(left), float(top), float(right), float(bottom)


def _inside(spot: Spot, x: Floats, y: Floats) -> NDArray[np.bool_]:
    """Which pixels lie in a spot."""
    if isinstance(spot, Disc):
        return np.asarray((x - spot.x) ** 2 + (y - spot.y) ** 2 <= spot.radius**2)
    corners = shrunk(spot.corners, _INNER).corners
    inside = np.ones(x.shape, dtype=bool)
    for (x0, y0), (x1, y1) in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        inside &= (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0) >= 0
    return inside


def _slope(light: Floats, places: Floats) -> float:
    """How much light differs across a spot, by a plane fitted to it; a share of its mean."""
    middle = places - places.mean(axis=0)
    gradient = np.linalg.lstsq(middle, light - light.mean(), rcond=None)[0]
    across = middle @ gradient
    return float(np.ptp(across) / max(float(light.mean()), 1e-6))
