"""What a pot counts as by its looks: a colour, a brown, a pale off-white, a neutral."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np

from preview.mix.circle import NEUTRAL_CHROMA
from preview.optics.cie1976_lab import chroma_from_lab, hue_deg_from_lab
from preview.optics.spectrum import Floats

Kind = Literal["colour", "brown", "pale", "neutral"]

# In CIELAB; common practice, no source. An off-white is lighter than PALE_LIGHTNESS, not as light;
# the ends of the other ranges belong to them.
PALE_LIGHTNESS, PALE_CHROMA = 80.0, (3.0, 20.0)
BROWN_LIGHTNESS, BROWN_CHROMA, BROWN_HUE = (20.0, 50.0), (8.0, 30.0), (40.0, 85.0)
# The off-white that is looked for first, L* and chroma.
_BEST_PALE = (90.0, 9.0)


def kind_of(lab: Floats) -> Kind:
    """What (3,) CIELAB under D65 counts as.

    Pale comes first: whites and off-whites are pale, however little chroma they have.
    """
    lightness, chroma = _lightness_and_chroma(lab)
    if lightness > PALE_LIGHTNESS and chroma <= PALE_CHROMA[1]:
        return "pale"
    if bool(is_brown(lab)):
        return "brown"
    return "neutral" if chroma < NEUTRAL_CHROMA else "colour"


def is_brown(lab: Floats) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """(...,) whether (..., 3) CIELAB is a brown: a dim, dull orange."""
    within = [
        (low <= value) & (value <= high)
        for value, (low, high) in (
            (lab[..., 0], BROWN_LIGHTNESS),
            (chroma_from_lab(lab), BROWN_CHROMA),
            (hue_deg_from_lab(lab), BROWN_HUE),
        )
    ]
    return np.asarray(np.logical_and.reduce(within))


def best_pale(labs: Sequence[Floats]) -> int | None:
    """Which of several (3,) CIELAB is the best off-white; a pure white only when there is none.

    None when nothing among them is pale.
    """
    whites = [k for k, lab in enumerate(labs) if kind_of(lab) == "pale"]
    tinted = [k for k in whites if _lightness_and_chroma(labs[k])[1] >= PALE_CHROMA[0]]

    def away(k: int) -> float:
        lightness, chroma = _lightness_and_chroma(labs[k])
        return float(np.hypot(lightness - _BEST_PALE[0], chroma - _BEST_PALE[1]))

    return min(tinted or whites, key=away, default=None)


def _lightness_and_chroma(lab: Floats) -> tuple[float, float]:
    """L* and C* of one colour."""
    return float(lab[0]), float(chroma_from_lab(lab))
