"""Where names of areas stand beside a picture, so that none covers another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.render.seen import Seen

_LINE, _LEAST_PIXELS = 34.0, 12


@dataclass(frozen=True)
class Label:
    """A name, the spot in its area that it points at, and where it stands; picture pixels."""

    name: str
    spot: tuple[float, float]
    y: float
    end_x: float
    on_left: bool


def place_labels(
    seen: Seen, area_of_face: NDArray[np.int32], names: Sequence[str], gutter: int
) -> list[Label]:
    """One label for each area that shows enough, in two columns beside the picture."""
    spots = _deepest_spots(seen, area_of_face, len(names))
    width, height = seen.view.width, seen.view.height
    found = []
    for on_left in (True, False):
        side = [a for a, (x, _) in spots.items() if (x < _middle(spots)) == on_left]
        side.sort(key=lambda a: spots[a][1])
        for area, y in zip(side, spaced([spots[a][1] for a in side], height, _LINE), strict=True):
            end = -0.1 * gutter if on_left else width + 0.1 * gutter
            found.append(Label(names[area], spots[area], y, end, on_left))
    return found


def _middle(spots: dict[int, tuple[float, float]]) -> float:
    """The x that leaves as many spots on one side as on the other."""
    return float(np.median([x for x, _ in spots.values()])) if spots else 0.0


def _deepest_spots(
    seen: Seen, area_of_face: NDArray[np.int32], count: int
) -> dict[int, tuple[float, float]]:
    """For each area that shows: the pixel farthest inside its visible part."""
    from scipy.ndimage import distance_transform_edt

    picture = area_picture(seen, area_of_face)
    spots = {}
    for area in range(count):
        mask = picture == area
        if mask.sum() < _LEAST_PIXELS:
            continue
        depth = distance_transform_edt(np.pad(mask, 1))[1:-1, 1:-1]
        row, column = np.unravel_index(int(np.argmax(depth)), depth.shape)
        spots[area] = (float(column) + 0.5, float(row) + 0.5)
    return spots


def area_picture(seen: Seen, area_of_face: NDArray[np.int32]) -> NDArray[np.int32]:
    """(height, width) int32: the area that each pixel shows, -1 where it shows none."""
    shown = np.full(seen.view.width * seen.view.height, -1, dtype=np.int32)
    shown[seen.pixel] = area_of_face[seen.face]
    return shown.reshape(seen.view.height, seen.view.width)


def spaced(wanted: Sequence[float], height: float, line: float) -> list[float]:
    """Heights in the same order, at least a line apart, as near to the wanted as that allows.

    Parameters
    ----------
    wanted : ascending, in [0, height].
    height, line : pixels; lines draw closer where not all would fit.
    """
    if not wanted:
        return []
    line = min(line, height / len(wanted))
    places = list[float]()
    for y in wanted:
        places.append(max(y, places[-1] + line) if places else max(y, line / 2))
    over = places[-1] - (height - line / 2)
    if over > 0:
        places[-1] -= over
        for k in range(len(places) - 2, -1, -1):
            places[k] = min(places[k], places[k + 1] - line)
    return places
