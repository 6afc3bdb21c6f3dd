"""The figure from four sides under daylight, a letter on every area that shows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

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


@dataclass(frozen=True)
class Letter:
    """A letter, the spot in its area that it means, and where it stands; pixels."""

    letter: str
    spot: tuple[float, float]
    at: tuple[float, float]


@dataclass(frozen=True, eq=False)
class SideView:
    """The painted figure from one side.

    picture : (rows, columns, 3) uint8 sRGB on white paper.
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
    front = framing(stand.outline, SIDE_PIXELS, SIDE_PIXELS, ELEVATION, margin=0.07)

    def taken(view: View) -> SideView:
        look = stand.look(view, [painted], DAYLIGHT)
        picture = on_backdrop(paint_look(look, painted.table, DAYLIGHT), PAPER_WHITE)
        sculpt = painted.sculpt
        shown = area_picture(look.seen, np.where(sculpt.exposed, sculpt.area, -1).astype(np.int32))
        return SideView(view.name, picture, _letters(deepest_spots(shown, len(letters)), letters))

    return list(in_threads(taken, around(front, SIDES)))


def _letters(spots: Mapping[int, Spot], letters: Sequence[str]) -> tuple[Letter, ...]:
    """Letters in the areas that have room for them, all others in a column at the nearer edge."""
    inside = [k for k, spot in spots.items() if spot.depth >= _DISC]
    places = {k: (spot.x, spot.y) for k, spot in spots.items()}
    found = [Letter(letters[k], places[k], places[k]) for k in inside]
    beside = [k for k in spots if k not in inside]
    for left in (True, False):
        own = [k for k in beside if (spots[k].x < SIDE_PIXELS / 2) == left]
        own.sort(key=lambda k: (spots[k].y, spots[k].x))
        x = 1.3 * _DISC if left else SIDE_PIXELS - 1.3 * _DISC
        heights = spaced([spots[k].y for k in own], SIDE_PIXELS, 2.4 * _DISC)
        for k, y in zip(own, heights, strict=True):
            found.append(Letter(letters[k], places[k], (x, y)))
    return tuple(found)
