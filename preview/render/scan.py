"""The renderer that draws triangles on the processor: needs no graphics driver.

Each triangle is laid on the grid of samples, and each sample keeps the nearest.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.render.fine import finer, seen_of
from preview.render.seen import Drawn, Seen
from preview.render.view import View
from preview.shape.bounds import bounds
from preview.shape.compiled import compiled
from preview.shape.grid import drawn_on_grid, placed_on_grid

Floats = NDArray[np.float32]
Ints = NDArray[np.int32]


class ScanRenderer:
    """A sculpt prepared for drawing.

    Parameters
    ----------
    vertices : (vertices, 3) float, mm.
    faces : (faces, 3) int.

    Notes
    -----
    Leaves out: faces that reach behind the eye.
    """

    name = "scan"
    driver = ""

    def __init__(self, vertices: NDArray[np.floating], faces: NDArray[np.integer]) -> None:
        self._vertices: Floats = np.ascontiguousarray(vertices, dtype=np.float32)
        self._faces: Ints = np.ascontiguousarray(faces, dtype=np.int32)
        self._bounds: Floats = np.stack(bounds(self._vertices))

    def draw(self, view: View, samples: int = 1) -> Drawn:
        """The face at each of `samples` samples per pixel; samples is a square number."""
        fine = finer(view, samples)
        beyond = self._beyond(view)
        placed = placed_on_grid(
            self._vertices,
            np.asarray(view.target, np.float64),
            np.stack(view.axes()),
            1.0 / fine.mm_per_pixel,
            (0.5 * fine.width - 0.5, 0.5 * fine.height - 0.5),
            beyond,
            view.distance_mm,
        )
        nearest, number = drawn_on_grid(placed, self._faces, fine.width, fine.height)
        _to_depth(nearest, 0.0 if view.orthographic else view.distance_mm, beyond)
        return Drawn(view, fine.width // view.width, number, nearest)

    def see(self, view: View, samples: int = 1) -> Seen:
        """What each of `samples` samples per pixel sees; samples is a square number."""
        return seen_of(self.draw(view, samples), self._vertices, self._faces)

    def _beyond(self, view: View) -> float:
        """Further than any vertex lies behind the view's target, mm."""
        reach = np.abs(self._bounds - np.asarray(view.target, np.float32)).max()
        return 2.0 * float(reach) + 1.0


@compiled
def _to_depth(nearest: Floats, far: float, beyond: float) -> None:
    """Turn nearness into depth, mm."""
    for i in range(len(nearest)):
        if nearest[i] > 0.0:
            nearest[i] = far / nearest[i] if far > 0.0 else beyond - nearest[i]
