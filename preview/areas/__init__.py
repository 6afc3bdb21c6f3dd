"""Mesh files in, named areas in millimetres out."""

from preview.areas.load import load_sculpt
from preview.areas.sculpt import Placement, Sculpt

__all__ = ["Placement", "Sculpt", "load_sculpt"]
