"""A colour in words, for those who can't tell it by eye: how light, how grey, which hue."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from preview.mix.circle import place_on_circle

# Upper ends of CIELAB lightness; chosen so that a ramp's steps get words of their own.
_LIGHT = (
    (18.0, "near-black"),
    (32.0, "very dark"),
    (46.0, "dark"),
    (60.0, "mid"),
    (74.0, "light"),
    (88.0, "pale"),
)
_GREYISH_CHROMA = 20.0
# What people call a dull or dark hue of these: common practice, no source.
_BROWN = frozenset({"red-orange", "orange", "yellow-orange"})
_OLIVE = frozenset({"yellow", "yellow-green"})
_PINK = frozenset({"red-violet", "red"})
_DULL_BELOW, _DULL_CHROMA, _PINK_FROM = 60.0, 45.0, 60.0


def colour_in_words(lab: ArrayLike) -> str:
    """Words for a colour, such as "mid red-orange", "dark greyish brown", "pale grey".

    Parameters
    ----------
    lab : (3,) CIELAB under D65.

    Notes
    -----
    Dark or dull oranges are called brown, such yellows olive, light reds pink, and what is nearly
    white off-white with its hue behind.
    """
    lightness = float(np.asarray(lab, dtype=np.float64)[0])
    light = next((word for end, word in _LIGHT if lightness < end), "near-white")
    place = place_on_circle(lab)
    if place.side == "neutral":
        return f"{light} grey" if light not in ("near-black", "near-white") else light
    greyish = "greyish " if place.chroma < _GREYISH_CHROMA else ""
    if light == "near-white" and greyish:
        return f"off-white, {place.hue}"
    return f"{light} {greyish}{_hue_in_words(place.hue, lightness, place.chroma)}"


def _hue_in_words(hue: str, lightness: float, chroma: float) -> str:
    """A hue of the circle, or what it is called where it is dull or light."""
    if lightness < _DULL_BELOW and chroma < _DULL_CHROMA:
        return "brown" if hue in _BROWN else "olive" if hue in _OLIVE else hue
    return "pink" if lightness >= _PINK_FROM and hue in _PINK else hue
