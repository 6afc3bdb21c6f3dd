"""Where in a picture the sculpt can be: the pixels worth a ray."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.render.view import View
from preview.shape.cells import SurfaceCells, pixels_near


def covered_pixels(cells: SurfaceCells, view: View) -> NDArray[np.int32]:
    """The pixels where the sculpt can be, and some around them, ascending; (pixels,) int32."""
    xy, depth = view.project(cells.points)
    nearest = float(depth.min()) - cells.reach
    if not view.orthographic and nearest <= 0:
        return np.arange(view.width * view.height, dtype=np.int32)
    magnify = 1.0 if view.orthographic else view.distance_mm / nearest
    reach = cells.reach * magnify / view.mm_per_pixel + 1.0
    return pixels_near(xy, reach, view.width, view.height)
