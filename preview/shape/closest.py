"""Which of many points is closest, for millions of places near them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.shape.bounds import bounds
from preview.shape.compiled import compiled
from preview.shape.threads import chunks, in_threads

Floats = NDArray[np.float32]
Ints = NDArray[np.int32]

_MOST_CELLS = 8_000_000
_RUN = 65_536


def closest_of(points: Floats, places: Floats, spacing: float) -> Ints:
    """(places,) int32: for each place the closest of the points, of equally close ones the first.

    Points stand in the cells of a grid. Around a place, more and more cells are looked at until
    what lies outside them must be farther; so it is quick where points are near.

    Parameters
    ----------
    points : (points, 3) float32, any unit; at least one.
    places : (places, 3) float32, the same unit.
    spacing : > 0, about how far a point is from the next one.
    """
    lowest, highest = bounds(points)
    low: NDArray[np.float64] = lowest.astype(np.float64)
    size = highest - low
    cell = max(spacing, float(size.max()) * 1e-4, 1e-30)
    while np.prod(np.floor(size / cell) + 1) > _MOST_CELLS:
        cell *= 1.25
    wide = (np.floor(size / cell) + 1).astype(np.int64)
    start = np.zeros(int(wide.prod()) + 1, np.int32)
    order = np.empty(len(points), np.int32)
    sorted_points = np.empty_like(points)
    _sort_into_cells(points, low, cell, wide, start, order, sorted_points)
    found = np.empty(len(places), np.int32)

    def find(run: slice) -> None:
        _find(sorted_points, order, start, low, cell, wide, places[run], found[run])

    for _ in in_threads(find, chunks(len(places), _RUN)):
        pass
    return found


@compiled
def _sort_into_cells(
    points: Floats,
    low: NDArray[np.float64],
    cell: float,
    wide: NDArray[np.int64],
    start: Ints,
    order: Ints,
    sorted_points: Floats,
) -> None:
    """Fill in where the points of each cell begin, and the points in the order of their cells.

    start : zero before; cells go by z, then y, then x.
    """
    key = np.empty(len(points), np.int64)
    for i in range(len(points)):
        x = min(int((points[i, 0] - low[0]) / cell), wide[0] - 1)
        y = min(int((points[i, 1] - low[1]) / cell), wide[1] - 1)
        z = min(int((points[i, 2] - low[2]) / cell), wide[2] - 1)
        key[i] = (z * wide[1] + y) * wide[0] + x
        start[key[i]] += 1
    for k in range(1, len(start)):
        start[k] += start[k - 1]
    for i in range(len(points) - 1, -1, -1):
        start[key[i]] -= 1
        at = start[key[i]]
        order[at] = i
        for k in range(3):
            sorted_points[at, k] = points[i, k]


@compiled
def _find(
    points: Floats,
    order: Ints,
    start: Ints,
    low: NDArray[np.float64],
    cell: float,
    wide: NDArray[np.int64],
    places: Floats,
    found: Ints,
) -> None:
    """Fill in the closest point of each place."""
    for i in range(len(places)):
        px, py, pz = np.float64(places[i, 0]), np.float64(places[i, 1]), np.float64(places[i, 2])
        # The cell it stands in, or the one at the rim that is nearest.
        x = min(max(int(np.floor((px - low[0]) / cell)), 0), wide[0] - 1)
        y = min(max(int(np.floor((py - low[1]) / cell)), 0), wide[1] - 1)
        z = min(max(int(np.floor((pz - low[2]) / cell)), 0), wide[2] - 1)
        best, which = np.inf, -1
        ring = 1
        while True:
            left, right = max(x - ring, 0), min(x + ring, wide[0] - 1)
            front, back = max(y - ring, 0), min(y + ring, wide[1] - 1)
            bottom, top = max(z - ring, 0), min(z + ring, wide[2] - 1)
            for row_z in range(bottom, top + 1):
                for row_y in range(front, back + 1):
                    row = (row_z * wide[1] + row_y) * wide[0]
                    for k in range(start[row + left], start[row + right + 1]):
                        dx, dy, dz = px - points[k, 0], py - points[k, 1], pz - points[k, 2]
                        square = dx * dx + dy * dy + dz * dz
                        if square < best or (square == best and order[k] < which):
                            best, which = square, order[k]
            # How far it is to the nearest side of the block behind which there are more cells.
            safe = np.inf
            if left > 0:
                safe = min(safe, px - (low[0] + left * cell))
            if right < wide[0] - 1:
                safe = min(safe, low[0] + (right + 1) * cell - px)
            if front > 0:
                safe = min(safe, py - (low[1] + front * cell))
            if back < wide[1] - 1:
                safe = min(safe, low[1] + (back + 1) * cell - py)
            if bottom > 0:
                safe = min(safe, pz - (low[2] + bottom * cell))
            if top < wide[2] - 1:
                safe = min(safe, low[2] + (top + 1) * cell - pz)
            if safe == np.inf or (which >= 0 and safe > 0.0 and best < safe * safe):
                break
            ring *= 2
        found[i] = which
