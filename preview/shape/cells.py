"""A surface as few points: where it is, roughly, without looking at every face."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from preview.shape.bounds import bounds
from preview.shape.triangles import longest_edge

_CELLS = 64
_STRIDE = 128
_TILE = 8
_BATCH = 500_000


class SurfaceCells:
    """The middles of those cells of a coarse grid that hold surface.

    Every point of the surface lies within `reach` of one of `points`.

    Parameters
    ----------
    vertices : (vertices, 3) float32, any one unit of length.
    faces : (faces, 3) int32.
    """

    def __init__(self, vertices: NDArray[np.float32], faces: NDArray[np.int32]) -> None:
        used = vertices[faces.ravel()] if len(faces) < len(vertices) // 6 else vertices
        low, high = bounds(used)
        cell = max(float((high - low).max()) / _CELLS, 1e-9)
        self.reach = cell * (1.0 + float(np.sqrt(3.0)) / 2)
        keys = [_keys(used, low, cell)]
        keys += [_keys(points, low, cell) for points in _inner_points(vertices, faces, cell)]
        key = np.unique(np.concatenate(keys))
        index = np.stack([key % _STRIDE, key // _STRIDE % _STRIDE, key // _STRIDE**2], axis=1)
        self.points = ((index + 0.5) * cell + low).astype(np.float32)


def pixels_near(
    xy: NDArray[np.float32], reach: float, width: int, height: int
) -> NDArray[np.int32]:
    """The pixels of a picture within `reach` of any point, and some around them.

    Parameters
    ----------
    xy : (points, 2) float32, pixels from the corner of pixel 0; points outside count too.
    reach : pixels.
    width, height : pixels.

    Returns
    -------
    pixels : (pixels,) int32, row * width + column, ascending.
    """
    steps = int(np.ceil(reach / _TILE))
    across, down = -(-width // _TILE), -(-height // _TILE)
    column = np.floor(xy[:, 0] / _TILE).astype(np.int64) + steps
    row = np.floor(xy[:, 1] / _TILE).astype(np.int64) + steps
    inside = (column >= 0) & (column < across + 2 * steps)
    inside &= (row >= 0) & (row < down + 2 * steps)
    mask: NDArray[np.bool_] = np.zeros((down + 2 * steps, across + 2 * steps), np.bool_)
    mask[row[inside], column[inside]] = True
    mask = np.logical_or.reduce([mask[k : k + down] for k in range(2 * steps + 1)])
    mask = np.logical_or.reduce([mask[:, k : k + across] for k in range(2 * steps + 1)])
    mask = mask.repeat(_TILE, axis=0)[:height].repeat(_TILE, axis=1)[:, :width]
    return np.flatnonzero(mask).astype(np.int32)


def _keys(points: NDArray[np.float32], low: NDArray[np.float32], cell: float) -> NDArray[np.int64]:
    """The cell of each point as one number, each cell once."""
    index = ((points - low) / np.float32(cell)).astype(np.int32)
    key = index[:, 0] + _STRIDE * index[:, 1] + _STRIDE**2 * index[:, 2]
    held = np.zeros(_STRIDE**3, np.bool_)
    held[key] = True
    return np.flatnonzero(held)


def _inner_points(
    vertices: NDArray[np.float32], faces: NDArray[np.int32], gap: float
) -> Iterator[NDArray[np.float32]]:
    """More points on the faces longer than `gap`, so that all of each is within `gap` of one."""
    longest = longest_edge(vertices, faces)
    large = np.flatnonzero(longest > gap)
    parts = np.ceil(longest[large] / gap).astype(np.int64)
    for n in np.unique(parts):
        weights = _grid_weights(int(n))
        same = large[parts == n]
        step = max(1, _BATCH // len(weights))
        for start in range(0, len(same), step):
            corners = vertices[faces[same[start : start + step]]]
            yield np.einsum("wc,fcx->fwx", weights, corners).reshape(-1, 3)


def _grid_weights(n: int) -> NDArray[np.float32]:
    """Barycentric weights of the grid that cuts each edge into n parts."""
    i, j = (k.ravel() for k in np.meshgrid(np.arange(n + 1), np.arange(n + 1)))
    keep = i + j <= n
    return np.stack([n - i - j, i, j], axis=1)[keep].astype(np.float32) / np.float32(n)
