"""fourpot: paint a 3D miniature with a four-paint scheme before a brush gets wet."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from preview.areas.load import load_sculpt
    from preview.flow import compare_schemes, judge_sculpt, paint_sculpt
    from preview.palette.choose import choose
    from preview.palette.recipes import find_recipes
    from preview.palette.wanted import read_colour
    from preview.rack.load import load_rack
    from preview.rack.paint import Paint, Rack
    from preview.ramp.load import load_scheme

__version__ = "0.1.0"
__all__ = [
    "Paint",
    "Rack",
    "choose",
    "compare_schemes",
    "find_recipes",
    "judge_sculpt",
    "load_rack",
    "load_scheme",
    "load_sculpt",
    "paint_sculpt",
    "read_colour",
]

_HOME = {
    "Paint": "preview.rack.paint",
    "Rack": "preview.rack.paint",
    "choose": "preview.palette.choose",
    "compare_schemes": "preview.flow",
    "find_recipes": "preview.palette.recipes",
    "judge_sculpt": "preview.flow",
    "load_rack": "preview.rack.load",
    "load_scheme": "preview.ramp.load",
    "load_sculpt": "preview.areas.load",
    "paint_sculpt": "preview.flow",
    "read_colour": "preview.palette.wanted",
}


def __getattr__(name: str) -> object:
    """Public names load their stage when first used, so that the command line starts fast."""
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(_HOME[name]), name)
