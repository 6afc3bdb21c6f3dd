"""The renderer that casts rays: needs no graphics driver, works on any machine."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.render.coverage import covered_pixels
from preview.render.fine import finer, seen_of
from preview.render.seen import Drawn, Seen
from preview.render.view import View
from preview.shape.cells import SurfaceCells
from preview.shape.rays import RayScene


class RayRenderer:
    """A sculpt prepared for ray casting.

    Parameters
    ----------
    vertices : (vertices, 3) float, mm.
    faces : (faces, 3) int.
    scene : the same mesh already prepared for rays, to save preparing it twice.
    """

    name = "rays"
    driver = ""

    def __init__(
        self,
        vertices: NDArray[np.floating],
        faces: NDArray[np.integer],
        scene: RayScene | None = None,
    ) -> None:
        self.scene = scene if scene is not None else RayScene(vertices, faces)
        self.cells = SurfaceCells(self.scene.vertices, self.scene.faces)

    def draw(self, view: View, samples: int = 1) -> Drawn:
        """The face at each of `samples` samples per pixel; samples is a square number."""
        fine = finer(view, samples)
        at = covered_pixels(self.cells, fine)
        number = np.full(fine.width * fine.height, -1, np.int32)
        depth = np.zeros(len(number), np.float32)
        number[at], distance, _ = self.scene.first_hit(*fine.rays(1, at))
        depth[at] = fine.depth(distance)
        return Drawn(view, fine.width // view.width, number, depth)

    def see(self, view: View, samples: int = 1) -> Seen:
        """What each of `samples` samples per pixel sees; samples is a square number."""
        return seen_of(self.draw(view, samples), self.scene.vertices, self.scene.faces)
