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


def colour_in_words(lab: ArrayLike) -> str:
    """Words for a colour, such as "mid red-orange", "dark greyish blue", "pale grey".

    Parameters
    ----------
    lab : (3,) CIELAB under D65.
    """
    lightness = float(np.asarray(lab, dtype=np.float64)[0])
    light = next((word for end, word in _LIGHT if lightness < end), "near-white")
    place = place_on_circle(lab)
    if place.side == "neutral":
        return f"{light} grey" if light not in ("near-black", "near-white") else light
    greyish = "greyish " if place.chroma < _GREYISH_CHROMA else ""
    return f"{light} {greyish}{place.hue}"
