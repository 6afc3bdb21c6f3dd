"""The figure from four sides under daylight, a letter on every area that shows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from preview.flow import Stand
from preview.paint.lamp import DAYLIGHT
from preview.paint.look import paint_look
from preview.paint.painted import Painted
from preview.paint.picture import on_backdrop
from preview.present.labels import area_picture, spaced
from preview.present.part_labels import Spot, deepest_spots
from preview.render.framing import around, framing
from preview.render.view import View
from preview.shape.threads import in_threads

SIDES = (("front", 0.0), ("left", 90.0), ("back", 180.0), ("right", 270.0))
SIDE_PIXELS = 1000
# How far above the figure the eye is, in degrees.
ELEVATION = 14.0
PAPER_WHITE = np.ones(3, np.float32)
# Half the width of the disc that a letter stands on, in pixels of a side view.
_DISC = 22.0
# An area holds its letter where it is so many times as wide: the letter must not hide it.
_ROOMY = 2.0
# A column of letters with air beside it.
_COLUMN = 3.0 * _DISC
_Pixel = TypeVar("_Pixel", np.uint8, np.int32)


@dataclass(frozen=True)
class Letter:
    """A letter, the spot in its area that it means, and where it stands; pixels."""

    letter: str
    spot: tuple[float, float]
    at: tuple[float, float]


@dataclass(frozen=True, eq=False)
class SideView:
    """The painted figure from one side.

    picture : (rows, columns, 3) uint8 sRGB on white paper; all four sides have the same size.
    letters : one for each area that shows.
    """

    name: str
    picture: NDArray[np.uint8]
    letters: tuple[Letter, ...]


def side_views(stand: Stand, painted: Painted, letters: Sequence[str]) -> list[SideView]:
    """The figure from four sides under daylight, a letter on every area that shows.

    Parameters
    ----------
    letters : one per area.
    """
    front = framing(stand.outline, SIDE_PIXELS, SIDE_PIXELS, ELEVATION, margin=0.02)
    sculpt = painted.sculpt
    exposed = np.where(sculpt.exposed, sculpt.area, -1).astype(np.int32)

    def taken(view: View) -> tuple[NDArray[np.uint8], NDArray[np.int32], NDArray[np.bool_]]:
        look = stand.look(view, [painted], DAYLIGHT)
        picture = on_backdrop(paint_look(look, painted.table, DAYLIGHT), PAPER_WHITE)
        figure = np.zeros(SIDE_PIXELS * SIDE_PIXELS, dtype=np.bool_)
        figure[look.seen.pixel] = True
        return picture, area_picture(look.seen, exposed), figure.reshape(SIDE_PIXELS, -1)

    views = around(front, SIDES)
    shots = list(in_threads(taken, views))
    # Cut or widen all four alike, so that the figure and two columns of letters just fit.
    columns = np.flatnonzero(np.any([figure for _, _, figure in shots], axis=(0, 1)))
    half = SIDE_PIXELS // 2
    room = max(half - int(columns[0]), int(columns[-1]) + 1 - half) + round(_COLUMN)
    found = []
    for view, (picture, shown, _) in zip(views, shots, strict=True):
        spots = deepest_spots(_centred(shown, room, -1), len(letters))
        placed = _letters(spots, letters, 2 * room)
        found.append(SideView(view.name, _centred(picture, room, 255), placed))
    return found


def _centred(picture: NDArray[_Pixel], room: int, blank: int) -> NDArray[_Pixel]:
    """A picture with so many columns on either side of its middle, blank beyond its edges."""
    half = picture.shape[1] // 2
    more = max(0, room - half)
    wide = np.pad(picture, ((0, 0), (more, more), (0, 0))[: picture.ndim], constant_values=blank)
    start = half + more - room
    return np.ascontiguousarray(wide[:, start : start + 2 * room])


def _letters(spots: Mapping[int, Spot], letters: Sequence[str], width: int) -> tuple[Letter, ...]:
    """Letters in the areas that have room for them, all others in a column at the nearer edge."""
    inside = [k for k, spot in spots.items() if spot.depth >= _ROOMY * _DISC]
    places = {k: (spot.x, spot.y) for k, spot in spots.items()}
    found = [Letter(letters[k], places[k], places[k]) for k in inside]
    beside = [k for k in spots if k not in inside]
    for left in (True, False):
        own = [k for k in beside if (spots[k].x < width / 2) == left]
        own.sort(key=lambda k: (spots[k].y, spots[k].x))
        x = 1.3 * _DISC if left else width - 1.3 * _DISC
        heights = spaced([spots[k].y for k in own], SIDE_PIXELS, 2.4 * _DISC)
        for k, y in zip(own, heights, strict=True):
            found.append(Letter(letters[k], places[k], (x, y)))
    return tuple(found)
