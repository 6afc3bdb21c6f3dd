"""Coats of paint: how thick one is, and how many hide what is beneath."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from preview.optics.appearance import lab_from_reflectance, xyz_from_reflectance
from preview.optics.ciede2000 import ciede2000
from preview.optics.spectrum import BANDS, Floats

# Thickness of one brushed coat, in the unit in which white paint scatters S = 1. Chosen so that
# a good white hides black and white in about three coats (common practice, no source).
COAT_THICKNESS = 6.0

# A film hides when Y over black is this share of Y over white (convention of the contrast-ratio
# methods, ISO 6504-3; from memory), on a card whose white has Y = 0.8.
HIDING_CONTRAST = 0.98
CARD_WHITE = 0.8

# A ground is hidden when the film differs from a hiding layer by no more than is just seen side
# by side (common practice, no source).
HIDDEN_DIFFERENCE = 1.0

MOST_COATS = 30

Over = Callable[[Floats, Floats], Floats]


def coats_to_hide_card(over: Over) -> int | None:
    """Least whole coats with a contrast ratio of 0.98 over black and white, None beyond 30.

    Parameters
    ----------
    over : takes (..., 31) ground and (..., 1) coats, gives (..., 31) reflectance.
    """
    coats = np.arange(1.0, MOST_COATS + 1.0)[:, None]
    on_black = xyz_from_reflectance(over(np.zeros(BANDS), coats))[:, 1]
    on_white = xyz_from_reflectance(over(np.full(BANDS, CARD_WHITE), coats))[:, 1]
    return _first(on_black / on_white >= HIDING_CONTRAST, 1)


def coats_to_hide_ground(over: Over, ground: Floats) -> int | None:
    """Least whole coats that look as a hiding layer does, over (31,) ground; None beyond 30."""
    coats = np.arange(0.0, MOST_COATS + 1.0)[:, None]
    seen = lab_from_reflectance(over(ground, coats))
    hiding = lab_from_reflectance(over(ground, np.array([[1e6]])))
    return _first(ciede2000(seen, hiding) <= HIDDEN_DIFFERENCE, 0)


def _first(hides: np.ndarray[tuple[int, ...], np.dtype[np.bool_]], start: int) -> int | None:
    """The first place that hides, counted from `start`."""
    return start + int(np.argmax(hides)) if bool(np.any(hides)) else None
