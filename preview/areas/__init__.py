"""Mesh files in, named areas in millimetres out."""

from preview.areas.listing import Area, areas_of, listing
from preview.areas.load import load_sculpt
from preview.areas.sculpt import Placement, Sculpt

__all__ = ["Area", "Placement", "Sculpt", "areas_of", "listing", "load_sculpt"]
