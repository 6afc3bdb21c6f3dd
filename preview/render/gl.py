"""The renderer that draws with OpenGL through pyrender: right where there is a graphics card.

Each triangle is drawn in a flat colour that spells its number, without multisampling, which would
blend numbers. Where on its face a sample lies, and how deep, follows from the plane of the face:
exact, where a depth buffer is not.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from preview.errors import CannotDo
from preview.render.fine import finer, seen_of
from preview.render.gl_context import need, stage
from preview.render.gl_probe import probe
from preview.render.plane import on_faces
from preview.render.seen import Drawn, Seen
from preview.render.view import View

MOST_PIXELS = 8192


class GlRenderer:
    """A sculpt prepared for OpenGL.

    Parameters
    ----------
    vertices : (vertices, 3) float, mm.
    faces : (faces, 3) int.
    way : "egl", "osmesa" or "pyglet"; None finds out what works.

    Raises
    ------
    MachineFault : no way of drawing works here; tells what was tried.

    Notes
    -----
    One picture at a time is drawn, whatever the number of threads that ask.
    """

    name = "gl"

    def __init__(
        self,
        vertices: NDArray[np.floating],
        faces: NDArray[np.integer],
        way: str | None = None,
    ) -> None:
        self._way = way if way is not None else need(probe()).way
        self._vertices = np.ascontiguousarray(vertices, dtype=np.float32)
        self._faces = np.ascontiguousarray(faces, dtype=np.int32)
        low, high = self._vertices.min(axis=0), self._vertices.max(axis=0)
        self._middle = (low + high).astype(np.float64) / 2
        self._radius = float(np.linalg.norm(high - low)) / 2
        self._stage = stage(self._way)
        self.driver = self._stage.driver
        self._scene, self._node = self._make_scene()

    def draw(self, view: View, samples: int = 1) -> Drawn:
        """The face at each of `samples` samples per pixel; samples is a square number.

        Raises
        ------
        CannotDo : the picture with all its samples is larger than drivers safely draw.
        """
        fine = finer(view, samples)
        if max(fine.width, fine.height) > MOST_PIXELS:
            raise CannotDo(
                f"{fine.width} x {fine.height} samples are more than gl draws at once",
                view.name,
                f"stay within {MOST_PIXELS * view.width // fine.width} pixels, "
                "or use --renderer scan",
            )
        # Each face is drawn twice, once from either side; 0 is nothing.
        found = self._numbers(fine)
        number = np.where(found == 0, -1, (found - 1) % len(self._faces)).astype(np.int32)
        at = np.flatnonzero(number >= 0)
        row, column = np.divmod(at, fine.width)
        place = np.stack([column, row], axis=1).astype(np.float32) + np.float32(0.5)
        depth = np.zeros(len(number), np.float32)
        _, depth[at] = on_faces(fine, place, self._vertices, self._faces, number[at])
        return Drawn(view, fine.width // view.width, number, depth)

    def see(self, view: View, samples: int = 1) -> Seen:
        """What each of `samples` samples per pixel sees, as `draw`."""
        return seen_of(self.draw(view, samples), self._vertices, self._faces)

    def _make_scene(self) -> tuple[Any, Any]:
        """A pyrender scene that holds the mesh, each face from both sides."""
        pyrender = self._stage.pyrender
        both = np.concatenate([self._faces, self._faces[:, ::-1]]).astype(np.uint32)
        primitive = pyrender.Primitive(positions=self._vertices, indices=both)
        scene = pyrender.Scene()
        return scene, scene.add(pyrender.Mesh([primitive]), name="sculpt")

    def _numbers(self, view: View) -> NDArray[np.int64]:
        """(pixels,) int64: the number of the triangle at each pixel, from 1; 0 for none."""
        right, up, back = view.axes()
        lift = self._lift(view)
        pose = np.eye(4)
        pose[:3, :3] = np.stack([right, up, back], axis=1)
        pose[:3, 3] = np.asarray(view.target) + back * lift
        colour = self._stage.draw(
            self._scene, self._camera(view, pose), pose, self._node, (view.width, view.height)
        )
        byte: NDArray[np.int64] = colour.reshape(-1, 4).astype(np.int64)
        number: NDArray[np.int64] = byte[:, 0] + (byte[:, 1] << 8)
        number += (byte[:, 2] << 16) + ((255 - byte[:, 3]) << 24)
        return number

    def _lift(self, view: View) -> float:
        """How far before the target the camera stands, mm."""
        if not view.orthographic:
            return view.distance_mm
        return float(np.linalg.norm(self._middle - view.target)) + 2 * self._radius

    def _camera(self, view: View, pose: NDArray[np.float64]) -> Any:
        """The pyrender camera, its depth range tight around the sculpt, to be precise."""
        pyrender = self._stage.pyrender
        middle = float(pose[:3, 2] @ (pose[:3, 3] - self._middle))
        far = middle + 1.01 * self._radius
        near = max(middle - 1.01 * self._radius, far * 1e-4)
        if view.orthographic:
            half_x = view.width * view.mm_per_pixel / 2
            half_y = view.height * view.mm_per_pixel / 2
            return pyrender.OrthographicCamera(xmag=half_x, ymag=half_y, znear=near, zfar=far)
        focal = view.distance_mm / view.mm_per_pixel
        return pyrender.IntrinsicsCamera(
            focal, focal, view.width / 2, view.height / 2, znear=near, zfar=far
        )


def driver_here(way: str) -> str:
    """The driver's name, once a triangle drawn that way has come out right.

    Raises whatever pyrender or the driver raises; RuntimeError when the picture is wrong.
    """
    vertices = np.array([[-9, 0, -9], [9, 0, -9], [0, 0, 9]], np.float32)
    renderer = GlRenderer(vertices, np.array([[0, 1, 2]], np.int32), way)
    view = View((0.0, 0.0, 0.0), 0.0, 0.0, math.inf, 1.0, 40, 40)
    seen = renderer.see(view)
    if not 140 <= len(seen.pixel) <= 184 or seen.face.any():
        raise RuntimeError(f"{renderer.driver} draws a wrong picture")
    return renderer.driver
