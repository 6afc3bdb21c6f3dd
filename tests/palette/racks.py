"""Racks that the tests of the circle and of pairs share."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from preview.rack.entry import read_paint
from preview.rack.paint import Paint, Rack
from preview.rack.place import Place

# Twelve hues, 30° apart from red at 0°, as the cube of Gossett & Chen 2004 paints them
TWELVE = {
    "red": "#ff0000",
    "red-orange": "#ff3f00",
    "orange": "#ff7f00",
    "yellow-orange": "#ffbf00",
    "yellow": "#ffff00",
    "yellow-green": "#7fd319",
    "green": "#00a833",
    "blue-green": "#148366",
    "blue": "#295f99",
    "blue-violet": "#542f8c",
    "violet": "#7f007f",
    "red-violet": "#bf003f",
}


def swatch(name: str, srgb: str) -> Paint:
    """A paint known by its swatch alone."""
    place = Place("swatch")
    paint = read_paint(place, {"name": name, "srgb": srgb}, Path())
    assert paint is not None, place.faults
    return paint


def rack_of(swatches: Mapping[str, str]) -> Rack:
    """A rack of swatches by name."""
    return Rack("swatches", {name: swatch(name, srgb) for name, srgb in swatches.items()})


def calibrated(rack: Rack) -> Rack:
    """The same paints, their scattering taken as known."""
    known = {
        name: replace(paint, calibrated=True, certainty="calibrated")
        for name, paint in rack.paints.items()
    }
    return replace(rack, paints=known)
