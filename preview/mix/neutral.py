"""Whether two paints mix to a brown or grey: paint complements, by the physical test."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from preview.mix.mixture import Mix
from preview.mix.ratios import full_ratios
from preview.mix.recipes import constants_of_mixes, mix_mixes
from preview.mix.sets import lab_of_sets
from preview.optics.cie1976_lab import chroma_from_lab, hue_deg_from_lab
from preview.optics.spectrum import Floats

ComplementVerdict = Literal["complementary", "near", "not", "can't tell"]

# CIELAB chroma of the most neutral mix (proposed here, checked against measured watercolours).
COMPLEMENTARY_CHROMA = 8.0
NEAR_CHROMA = 15.0
# From swatches alone the chroma can come out this much too high.
SWATCH_ERROR = 10.0
MOST_DROPS = 12


@dataclass(frozen=True)
class Neutral:
    """The most neutral mix of two paints.

    drops : whole drops of the first and of the second.
    mix : the mix itself.
    chroma, lightness, hue_deg : its CIELAB under D65.
    verdict : complementary (chroma at most 8), near (at most 15), not; can't tell when the
        paints are not calibrated and their true chroma may be on either side.
    """

    drops: tuple[int, int]
    mix: Mix
    chroma: float
    lightness: float
    hue_deg: float
    verdict: ComplementVerdict


def most_neutral_mix(first: Mix, second: Mix, most_drops: int = MOST_DROPS) -> Neutral:
    """The least chromatic whole-drop mix of two paints, and whether they are complements.

    Parameters
    ----------
    first, second : two pots alone, or any mixes.
    most_drops : of both together, at least 2.

    Notes
    -----
    Leaves out: that a pot may be neutral by itself; see `preview.mix.circle.place_on_circle`.
    """
    ratios = full_ratios(2, most_drops)
    lab = lab_of_sets(*constants_of_mixes([first, second]), [(0, 1)], ratios)[0]
    chroma = chroma_from_lab(lab)
    best = int(np.argmin(chroma))
    drops = (int(ratios[best, 0]), int(ratios[best, 1]))
    least = float(chroma[best])
    return Neutral(
        drops,
        mix_mixes([(first, drops[0]), (second, drops[1])]),
        least,
        float(lab[best, 0]),
        float(hue_deg_from_lab(lab[best])),
        _verdict(least, first.calibrated and second.calibrated),
    )


def least_chroma(
    absorption: Floats, scattering: Floats, surface: Floats, pairs: ArrayLike
) -> Floats:
    """CIELAB chroma of the most neutral mix of each of many pairs, as `most_neutral_mix` finds it.

    Parameters
    ----------
    absorption, scattering : (paints, bands) K and S of each paint.
    surface : (paints, 2) Saunderson's k1 and k2 of each paint.
    pairs : (pairs, 2) indices of paints.

    Returns
    -------
    (pairs,) C*ab.
    """
    lab = lab_of_sets(absorption, scattering, surface, pairs, full_ratios(2, MOST_DROPS))
    return np.asarray(chroma_from_lab(lab).min(axis=1))


def _verdict(chroma: float, calibrated: bool) -> ComplementVerdict:
    """What the least chroma says."""
    if chroma <= COMPLEMENTARY_CHROMA:
        return "complementary"
    if not calibrated:
        return "can't tell" if chroma <= COMPLEMENTARY_CHROMA + SWATCH_ERROR else "not"
    return "near" if chroma <= NEAR_CHROMA else "not"
