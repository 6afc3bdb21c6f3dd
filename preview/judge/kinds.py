"""How two areas meet in a view: at a shared edge, in contact, or one before the other."""

from __future__ import annotations

from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.judge.cracks import Cracks
from preview.judge.views import Look
from preview.shape.borders import Borders, points_along

CONTACT_MM = 0.3
"""Closer than this, surfaces touch: such a gap is 1 arc minute at 1 m, so it can't be seen as one.
Our convention."""

_STEEPEST = 6.0


class Kind(IntEnum):
    """How two areas meet."""

    EDGE = 0
    CONTACT = 1
    SILHOUETTE = 2


class EdgeFinder:
    """Finds whether a point lies on the border that two areas share on the mesh."""

    def __init__(self, borders: Borders, areas: int, reach_mm: float) -> None:
        from scipy.spatial import cKDTree

        points, edge = points_along(borders, reach_mm)
        self._areas, self._reach = areas, reach_mm
        low, high = borders.low[edge], borders.high[edge]
        self._tree = cKDTree(self._apart(points, low, high)) if len(points) else None

    def near(
        self,
        points: NDArray[np.float64],
        low: NDArray[np.int32],
        high: NDArray[np.int32],
    ) -> NDArray[np.bool_]:
        """Whether each point is within reach of an edge shared by areas low < high."""
        if self._tree is None or not len(points):
            return np.zeros(len(points), np.bool_)
        reach = 1.2 * self._reach
        distance, _ = self._tree.query(
            self._apart(points, low, high), distance_upper_bound=reach, eps=0.05
        )
        return np.asarray(distance <= reach)

    def _apart(
        self, points: NDArray[np.float64], low: NDArray[np.int32], high: NDArray[np.int32]
    ) -> NDArray[np.float64]:
        """Points with a fourth coordinate that keeps those of other pairs out of reach."""
        pair = low.astype(np.float64) * self._areas + high
        return np.column_stack([points, 10.0 * self._reach * pair])


def kinds_of(sculpt: Sculpt, seen: Look, cracks: Cracks, edges: EdgeFinder) -> NDArray[np.int32]:
    """The `Kind` of each crack.

    Surfaces touch where the step in depth is no more than CONTACT_MM and what their slopes
    explain within one sample. Touching near a shared edge of the two areas is EDGE, elsewhere
    CONTACT; the rest are SILHOUETTE.

    Parameters
    ----------
    seen : one view.
    cracks : of that view.
    edges : of the same sculpt.
    """
    label, depth = seen.label.ravel(), seen.depth.ravel()
    step = np.abs(depth[cracks.first] - depth[cracks.second])
    slopes = _slope(sculpt, seen, cracks.first) + _slope(sculpt, seen, cracks.second)
    touching = np.flatnonzero(step <= CONTACT_MM + 0.5 * seen.view.mm_per_pixel * slopes)
    first, second = cracks.first[touching], cracks.second[touching]
    low, high = label[first], label[second]
    on_edge = edges.near(points_of(seen, first), low, high)
    on_edge |= edges.near(points_of(seen, second), low, high)
    kind = np.full(len(step), Kind.SILHOUETTE, np.int32)
    kind[touching] = np.where(on_edge, Kind.EDGE, Kind.CONTACT)
    return kind


def _slope(sculpt: Sculpt, seen: Look, cell: NDArray[np.int64]) -> NDArray[np.float64]:
    """How steeply the surface falls away from the eye, mm of depth per mm across."""
    _, _, back = seen.view.axes()
    facing = np.abs(sculpt.normal[seen.face.ravel()[cell]].astype(np.float64) @ back)
    facing = np.maximum(facing, 1e-6)
    return np.minimum(np.sqrt(np.maximum(1.0 - facing**2, 0.0)) / facing, _STEEPEST)


def points_of(seen: Look, cell: NDArray[np.int64]) -> NDArray[np.float64]:
    """Where in space samples of a view lie.

    Parameters
    ----------
    cell : (cells,) int64, flat index of samples that see the sculpt.

    Returns
    -------
    (cells, 3) float64, mm.
    """
    view = seen.view
    right, up, back = view.axes()
    row, column = np.divmod(cell, view.width)
    x = (column + 0.5 - 0.5 * view.width) * view.mm_per_pixel
    y = (0.5 * view.height - row - 0.5) * view.mm_per_pixel
    z = seen.depth.ravel()[cell].astype(np.float64)
    across = x[:, None] * right + y[:, None] * up - z[:, None] * back
    return np.asarray(np.asarray(view.target) + across)
