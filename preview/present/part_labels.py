"""Where the names of parts stand: inside where there is room, else beside with a line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.present.canvas import font
from preview.present.labels import spaced

_BIG, _SMALL = 44, 24
_BESIDE = 30
_BESIDE_LONG = 23
_LONG = 5
_LINE = 38.0
# Names on the left stand beyond the numbers of the ruler.
_RULER = 40.0
_ROOM = 0.92
_LEAST_PIXELS = 8


@dataclass(frozen=True)
class Spot:
    """The pixel farthest inside a part's visible piece, and how far inside that is."""

    x: float
    y: float
    depth: float
    pixels: int


@dataclass(frozen=True)
class Placed:
    """A name in or beside a picture; picture pixels.

    spot : what it points at.
    at : where it stands: its middle when inside, else the end of its line.
    size : of the letters.
    side : 0 inside, -1 left of the picture, 1 right of it.
    """

    part: int
    words: str
    spot: tuple[float, float]
    at: tuple[float, float]
    size: int
    side: int


def deepest_spots(shown: NDArray[np.int32], count: int) -> dict[int, Spot]:
    """For each part that a picture shows: where it shows most room."""
    from scipy.ndimage import distance_transform_edt, find_objects

    spots = {}
    for part, box in enumerate(find_objects(shown + 1, count)):
        if box is None:
            continue
        mask = np.pad(shown[box] == part, 1)
        pixels = int(mask.sum())
        if pixels < _LEAST_PIXELS:
            continue
        depth = distance_transform_edt(mask)
        row, column = np.unravel_index(int(np.argmax(depth)), depth.shape)
        x, y = box[1].start + float(column) - 0.5, box[0].start + float(row) - 0.5
        spots[part] = Spot(x, y, float(depth.max()), pixels)
    return spots


def placed_labels(
    spots: Mapping[int, Spot],
    names: Sequence[str],
    with_line: Sequence[int],
    width: int,
    height: int,
) -> list[Placed]:
    """Every name that fits inside its part, and those of `with_line` beside the picture if not.

    Parameters
    ----------
    spots : from `deepest_spots`.
    names : of all parts.
    with_line : parts that get a line to a name beside the picture when there is no room inside.
    width, height : of the picture.
    """
    inside, outside = [], []
    for part, spot in spots.items():
        size = _fitting(names[part], spot.depth)
        if size:
            at = (spot.x, spot.y)
            inside.append(Placed(part, names[part], at, at, size, 0))
        elif part in with_line:
            outside.append(part)
    middle = float(np.median([spots[p].x for p in outside])) if outside else width / 2
    middle = min(max(middle, 0.35 * width), 0.65 * width)
    for side in (-1, 1):
        own = [p for p in outside if (spots[p].x < middle) == (side < 0)]
        own.sort(key=lambda p: (spots[p].y, spots[p].x))
        heights = spaced([spots[p].y for p in own], height, _LINE)
        for part, y in zip(own, heights, strict=True):
            end = -_RULER if side < 0 else width + 14.0
            tip = (spots[part].x, spots[part].y)
            size = _BESIDE if len(names[part]) < _LONG else _BESIDE_LONG
            inside.append(Placed(part, names[part], tip, (end, y), size, side))
    return inside


def _fitting(words: str, depth: float) -> int:
    """The largest size at which words fit a disc of some radius; 0 when none does."""
    for size in range(_BIG, _SMALL - 1, -2):
        half = font(size, True).getlength(words) / 2
        if np.hypot(half, 0.36 * size) <= depth / _ROOM:
            return size
    return 0
