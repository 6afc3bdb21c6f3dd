"""Where in a picture the sculpt can be: a coarse mask that never misses it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.render.view import View

_CELLS = 64
_TILE = 8
_MOST_POINTS = 4_000_000


class Coverage:
    """The cells of a coarse grid that hold surface, made once per sculpt.

    Every point of the surface lies within `reach_mm` of a kept point.
    """

    def __init__(self, vertices: NDArray[np.float32], faces: NDArray[np.int32]) -> None:
        low, high = vertices.min(axis=0), vertices.max(axis=0)
        self._cell = max(float((high - low).max()) / _CELLS, 1e-6)
        self.reach_mm = self._cell * (1.0 + np.sqrt(3.0) / 2)
        points = _points_no_further_apart(vertices, faces, self._cell)
        self.points: NDArray[np.float32] | None = None
        if points is not None:
            cell = np.unique(((points - low) / self._cell).astype(np.int64) @ [1, 128, 16384])
            index = np.stack([cell % 128, cell // 128 % 128, cell // 16384], axis=1)
            self.points = ((index + 0.5) * self._cell + low).astype(np.float32)

    def pixels(self, view: View) -> NDArray[np.int32]:
        """The pixels where the sculpt can be, ascending; (pixels,) int32."""
        everything = np.arange(view.width * view.height, dtype=np.int32)
        if self.points is None:
            return everything
        xy, depth = view.project(self.points)
        if not view.orthographic and depth.min() <= self.reach_mm:
            return everything
        magnify = 1.0 if view.orthographic else view.distance_mm / float(depth.min())
        reach = self.reach_mm * magnify / view.mm_per_pixel + 1.0
        mask = _tiles_near(xy, reach, view.width, view.height)
        mask = mask.repeat(_TILE, axis=0)[: view.height].repeat(_TILE, axis=1)[:, : view.width]
        return np.flatnonzero(mask).astype(np.int32)


def _tiles_near(
    xy: NDArray[np.float32], reach: float, width: int, height: int
) -> NDArray[np.bool_]:
    """The tiles that come within `reach` pixels of a point."""
    from scipy.ndimage import maximum_filter

    steps = int(np.ceil(reach / _TILE))
    across, down = -(-width // _TILE), -(-height // _TILE)
    column = np.floor(xy[:, 0] / _TILE).astype(np.int64) + steps
    row = np.floor(xy[:, 1] / _TILE).astype(np.int64) + steps
    inside = (column >= 0) & (column < across + 2 * steps)
    inside &= (row >= 0) & (row < down + 2 * steps)
    mask = np.zeros((down + 2 * steps, across + 2 * steps), np.bool_)
    mask[row[inside], column[inside]] = True
    mask = maximum_filter(mask, size=2 * steps + 1, mode="constant")
    return mask[steps : steps + down, steps : steps + across]


def _points_no_further_apart(
    vertices: NDArray[np.float32], faces: NDArray[np.int32], gap: float
) -> NDArray[np.float32] | None:
    """The corners, and more points on large faces, so that all surface is within `gap` of one.

    None when that would take too many points.
    """
    corners = vertices[faces]
    longest = np.sqrt(((corners - np.roll(corners, 1, axis=1)) ** 2).sum(axis=2).max(axis=1))
    parts = np.ceil(longest / gap).astype(np.int64)
    if int((parts**2).sum(where=parts > 1)) > _MOST_POINTS:
        return None
    points = [vertices]
    for n in np.unique(parts[parts > 1]):
        i, j = (k.ravel() for k in np.meshgrid(np.arange(n + 1), np.arange(n + 1)))
        keep = i + j <= n
        weights = np.stack([n - i - j, i, j], axis=1)[keep].astype(np.float32) / n
        points.append(np.einsum("wc,fcx->fwx", weights, corners[parts == n]).reshape(-1, 3))
    return np.concatenate(points)
