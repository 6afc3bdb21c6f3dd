"""pyrender without a screen: bound to one way of drawing, with shaders that number triangles."""

from __future__ import annotations

import os
import warnings
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


def offscreen(way: str, width: int, height: int) -> Any:
    """A pyrender.OffscreenRenderer whose segmentation pass draws each triangle's number."""
    pyrender = import_pyrender(way)
    from pyrender.shader_program import ShaderProgramCache

    renderer = pyrender.OffscreenRenderer(width, height)
    renderer._renderer._program_cache = ShaderProgramCache(shader_dir=str(_SHADERS))
    return renderer


def driver_of(renderer: Any) -> str:
    """The name that the OpenGL driver gives itself."""
    from OpenGL.GL import GL_RENDERER, glGetString

    renderer._platform.make_current()
    name = glGetString(GL_RENDERER).decode("ascii", "replace")
    renderer._platform.make_uncurrent()
    return str(name)


def need(found: Probe) -> Probe:
    """The probe when it found a way; MachineFault that tells what was tried when it did not."""
    if found.works:
        return found
    tried = "; ".join(f"{way}: {complaint}" for way, complaint in found.tried) or "nothing to try"
    raise MachineFault(
        "OpenGL does not work on this machine",
        f"tried {tried}",
        "use --renderer rays, which needs no driver; or install one (on Debian: libegl1 and "
        "libgl1-mesa-dri for EGL, libosmesa6 for OSMesa)",
    )
