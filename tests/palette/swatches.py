"""Racks for the tests: by swatches, or the single pigments that ship, then swatches by rule."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from preview.optics.lhtss_burns_2020 import reflectance_from_xyz
from preview.optics.srgb_iec61966 import (
    hex_from_lab,
    linear_from_srgb8,
    srgb8_from_hex,
    xyz_from_linear,
)
from preview.rack.defaults import default_scattering, surface_of
from preview.rack.load import load_rack
from preview.rack.paint import Hiding, Paint, Rack

# Lightness and chroma of rounds of swatches around the circle of hues: mid, dark, earth, light.
ROUNDS = ((55.0, 45.0), (35.0, 30.0), (38.0, 18.0), (87.0, 9.0), (70.0, 40.0), (25.0, 25.0))
HIDING: tuple[Hiding, ...] = ("opaque", "semi", "transparent")


def rack_with(swatches: Mapping[str, str]) -> Rack:
    """A rack of matt paints by their sRGB swatches."""
    return Rack("own", {name: _paint(name, srgb) for name, srgb in swatches.items()})


def rack_of(paints: int) -> Rack:
    """A rack of so many paints: pigments first, then hypothetical swatches at golden-angle hues."""
    known = load_rack("pigments")
    made = {}
    for number in range(max(paints - len(known.paints), 0)):
        lightness, chroma = ROUNDS[number % len(ROUNDS)]
        hue = np.radians(137.507764 * number)
        srgb = hex_from_lab([lightness, chroma * np.cos(hue), chroma * np.sin(hue)])
        name = f"swatch {number + 1}"
        made[name] = _paint(name, srgb, HIDING[number % len(HIDING)])
    both = dict([*known.paints.items(), *made.items()][:paints])
    return replace(known, paints=both, name="by-rule", path=None)


def _paint(name: str, srgb: str, hiding: Hiding = "unknown") -> Paint:
    """One paint by its swatch."""
    xyz = xyz_from_linear(linear_from_srgb8(srgb8_from_hex(srgb)))
    reflectance = np.asarray(reflectance_from_xyz(xyz)[0])
    k1, k2 = surface_of(reflectance, "swatch")
    scattering = default_scattering(reflectance, hiding)
    return Paint(name, reflectance, scattering, k1, k2, "swatch", "estimate", hiding)
