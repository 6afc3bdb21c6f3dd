"""Polygons cut into triangles."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def fan(
    corners: NDArray[np.int64], lengths: NDArray[np.int64], keep: NDArray[np.bool_]
) -> tuple[NDArray[np.int32], NDArray[np.int64]]:
    """Cut polygons into fans of triangles around their first corner.

    Parameters
    ----------
    corners : (corners,) int, the polygons' vertices one polygon after the other.
    lengths : (polygons,) int, how many corners each has.
    keep : (polygons,) bool, those to cut; each of them has at least 3 corners.

    Returns
    -------
    faces : (triangles, 3) int32.
    polygon : (triangles,) int64, which polygon each came from.

    Notes
    -----
    Leaves out: polygons that are not convex may overlap themselves.
    """
    first = np.cumsum(lengths) - lengths
    chosen = np.flatnonzero(keep)
    triangles = lengths[chosen] - 2
    polygon = np.repeat(chosen, triangles)
    step = np.arange(len(polygon)) - np.repeat(np.cumsum(triangles) - triangles, triangles)
    start = first[polygon]
    faces = np.stack((corners[start], corners[start + step + 1], corners[start + step + 2]), axis=1)
    return faces.astype(np.int32), polygon.astype(np.int64)
