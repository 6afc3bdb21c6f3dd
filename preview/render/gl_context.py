"""pyrender without a screen: bound to one way of drawing, with shaders that number triangles."""

from __future__ import annotations

import os
import warnings
from concurrent.futures import ThreadPoolExecutor
from functools import lru_cache
from pathlib import Path
from typing import Any

from preview.errors import MachineFault
from preview.render.gl_probe import Probe

_SHADERS = Path(__file__).with_name("shaders")


def import_pyrender(way: str) -> Any:
    """pyrender, bound to "egl", "osmesa" or "pyglet"; the first binding holds for the process."""
    if way == "pyglet":
        os.environ.pop("PYOPENGL_PLATFORM", None)
    else:
        os.environ["PYOPENGL_PLATFORM"] = way
    with warnings.catch_warnings():
        # Old releases that pyrender pins warn of their own syntax; nothing a user can act on.
        warnings.simplefilter("ignore")
        import pyrender
    return pyrender


class Stage:
    """The one drawing context of this process, and the one thread that may use it.

    A context belongs to the thread in which it was made, and giving one up takes the display away
    from all others; so there is one of each, kept to the end.
    """

    def __init__(self, way: str) -> None:
        self.pyrender = import_pyrender(way)
        self._thread = ThreadPoolExecutor(max_workers=1, thread_name_prefix="gl")
        try:
            self._offscreen, self.driver = self._thread.submit(self._open).result()
        finally:
            if not hasattr(self, "driver"):
                self._thread.shutdown()

    def draw(self, scene: Any, camera: Any, pose: Any, node: Any, size: tuple[int, int]) -> Any:
        """(height, width, 4) uint8: the number of the triangle at each pixel, as shaders spell it.

        Parameters
        ----------
        scene : a pyrender.Scene without camera.
        camera, pose : a pyrender camera, and its 4 x 4 place.
        node : the node of the mesh.
        size : width and height, pixels.
        """
        return self._thread.submit(self._draw, scene, camera, pose, node, size).result()

    def _open(self) -> tuple[Any, str]:
        """An offscreen renderer with our shaders, and the name its driver gives itself."""
        from OpenGL.GL import GL_RENDERER, glGetString
        from pyrender.shader_program import ShaderProgramCache

        offscreen = self.pyrender.OffscreenRenderer(64, 64)
        offscreen._renderer._program_cache = ShaderProgramCache(shader_dir=str(_SHADERS))
        return offscreen, glGetString(GL_RENDERER).decode("ascii", "replace")

    def _draw(self, scene: Any, camera: Any, pose: Any, node: Any, size: tuple[int, int]) -> Any:
        """`draw`, in the thread of the context."""
        eye = scene.add(camera, pose=pose)
        scene.main_camera_node = eye
        self._offscreen.viewport_width, self._offscreen.viewport_height = size
        flags = self.pyrender.RenderFlags.SEG | self.pyrender.RenderFlags.RGBA
        colour, _ = self._offscreen.render(scene, flags, {node: (0, 0, 0)})
        scene.remove_node(eye)
        return colour


@lru_cache(maxsize=1)
def stage(way: str) -> Stage:
    """The drawing context, opened when first wanted."""
    return Stage(way)


def need(found: Probe) -> Probe:
    """The probe when it found a way; MachineFault that tells what was tried when it did not."""
    if found.works:
        return found
    tried = "; ".join(f"{way}: {complaint}" for way, complaint in found.tried) or "nothing to try"
    raise MachineFault(
        "OpenGL does not work on this machine",
        f"tried {tried}",
        "use --renderer scan, which needs no driver; or install one (on Debian: libegl1 and "
        "libgl1-mesa-dri for EGL, libosmesa6 for OSMesa)",
    )
