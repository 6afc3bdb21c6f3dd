"""Racks by swatches, and the single pigments that ship followed by swatches by rule."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import numpy as np

from preview.optics.srgb_iec61966 import hex_from_lab
from preview.rack.entry import read_paint
from preview.rack.load import load_rack
from preview.rack.paint import Hiding, Paint, Rack
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


# Lightness and chroma of rounds of swatches around the circle of hues: mid, dark, earth, light.
ROUNDS = ((55.0, 45.0), (35.0, 30.0), (38.0, 18.0), (87.0, 9.0), (70.0, 40.0), (25.0, 25.0))
HIDING: tuple[Hiding, ...] = ("opaque", "semi", "transparent")


def swatch(name: str, srgb: str, hiding: Hiding = "unknown") -> Paint:
    """A paint known by its swatch alone."""
    place = Place("swatch")
    paint = read_paint(place, {"name": name, "srgb": srgb, "hiding": hiding}, Path())
    assert paint is not None, place.faults
    return paint


def rack_of(swatches: Mapping[str, str]) -> Rack:
    """A rack of swatches by name."""
    return Rack("swatches", {name: swatch(name, srgb) for name, srgb in swatches.items()})


def rack_by_rule(paints: int) -> Rack:
    """A rack of so many paints: pigments first, then hypothetical swatches at golden-angle hues."""
    known = load_rack("pigments")
    made = {}
    for number in range(max(paints - len(known.paints), 0)):
        lightness, chroma = ROUNDS[number % len(ROUNDS)]
        hue = np.radians(137.507764 * number)
        srgb = hex_from_lab([lightness, chroma * np.cos(hue), chroma * np.sin(hue)])
        name = f"swatch {number + 1}"
        made[name] = swatch(name, srgb, HIDING[number % len(HIDING)])
    both = dict([*known.paints.items(), *made.items()][:paints])
    return replace(known, paints=both, name="by-rule", path=None)


def calibrated(rack: Rack) -> Rack:
    """The same paints, their scattering taken as known."""
    known = {
        name: replace(paint, calibrated=True, certainty="calibrated")
        for name, paint in rack.paints.items()
    }
    return replace(rack, paints=known)
