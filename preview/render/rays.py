"""The renderer that casts rays: needs no graphics driver, works on any machine."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.render.coverage import covered_pixels
from preview.render.seen import Seen
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

    def __init__(
        self,
        vertices: NDArray[np.floating],
        faces: NDArray[np.integer],
        scene: RayScene | None = None,
    ) -> None:
        self.scene = scene if scene is not None else RayScene(vertices, faces)
        self.cells = SurfaceCells(self.scene.vertices, self.scene.faces)

    def see(self, view: View, samples: int = 1) -> Seen:
        """What each of `samples` samples per pixel sees; samples is a square number."""
        return self.see_pixels(view, covered_pixels(self.cells, view), samples)

    def see_pixels(self, view: View, pixels: NDArray[np.int32], samples: int = 1) -> Seen:
        """What the samples of the given pixels see.

        Parameters
        ----------
        view : the camera.
        pixels : (pixels,) int32, row * width + column.
        samples : per pixel, a square number.
        """
        face, distance, bary = self.scene.first_hit(*view.rays(samples, pixels))
        hit = np.flatnonzero(face >= 0)
        return Seen(
            view=view,
            pixel=pixels[hit // samples] if samples > 1 else pixels[hit],
            weight=np.full(len(hit), 1.0 / samples, np.float32),
            face=face[hit],
            bary=bary[hit],
            depth=view.depth(distance[hit]),
        )
