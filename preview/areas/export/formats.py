"""Which suffix is written by what."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from preview.areas.export.grouped import Grouped
from preview.areas.export.write_3mf import write_3mf
from preview.areas.export.write_glb import write_glb
from preview.areas.export.write_obj import write_obj
from preview.areas.export.write_ply import write_ply

Write = Callable[[Path, Grouped], None]

EXPORTS: dict[str, Write] = {
    ".3mf": write_3mf,
    ".obj": write_obj,
    ".glb": write_glb,
    ".ply": write_ply,
}
