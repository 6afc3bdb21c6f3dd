"""Whether areas of like value are told apart by their hue, at the size they have."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.judge.eye.noticeable_stone_2014 import noticeable_difference
from preview.judge.eye.scielab_zhang_wandell_1997 import filtered_bar
from preview.optics.cie1976_lab import lab_from_xyz, xyz_from_lab
from preview.optics.ciede2000 import ciede2000
from preview.optics.srgb_iec61966 import SRGB_WHITE

Floats = NDArray[np.float64]

TOLD_APART = 10.0
"""CIEDE2000 between map colours that readers tell apart (Brychtova and Coltekin 2016, doi
10.1080/15230406.2016.1140074)."""

NOTICED = 1.0

SMALLEST_SIZE = 2.0
"""Width over acuity from which on hue counts at all: what a readable shape asks for."""


@dataclass(frozen=True, eq=False)
class Hues:
    """What hue and chroma alone say of parts on their grounds, each (...,) float64.

    left : CIEDE2000 with both at their mean L*, after the eye's blur; noticed : the difference
    before it, in units of what half of a crowd notices.
    """

    left: Floats
    noticed: Floats


def hues_of(part_lab: Floats, ground_lab: Floats, width_arcmin: Floats, kept: Floats) -> Hues:
    """Blur bars on their grounds and compare.

    Parameters
    ----------
    part_lab, ground_lab : (..., 3) CIELAB under D65.
    width_arcmin : (...,) of the part, > 0.
    kept : (..., 3) what the blur leaves of it, from `kept_of_bar`.
    """
    part, ground = _at_mean_lightness(part_lab, ground_lab)
    apart = (part - ground)[..., 1:] / noticeable_difference(width_arcmin)[..., 1:]
    return Hues(
        left=hue_difference(_left_of(part_lab, ground_lab, kept), ground_lab),
        noticed=np.sqrt((apart**2).sum(axis=-1)),
    )


def hue_difference(part_lab: Floats, ground_lab: Floats) -> Floats:
    """(...,): CIEDE2000 of hue and chroma alone, both at their mean L*, as if from close by."""
    return ciede2000(*_at_mean_lightness(part_lab, ground_lab))


def difference_left(part_lab: Floats, ground_lab: Floats, kept: Floats) -> Floats:
    """(...,): CIEDE2000 of value and hue together, after the eye's blur."""
    return ciede2000(_left_of(part_lab, ground_lab, kept), ground_lab)


def told_by_hue(hues: Hues, size: Floats, share: float = 1.0) -> NDArray[np.bool_]:
    """Whether hue alone separates parts: both the filter and the crowd must say so.

    Parameters
    ----------
    size : width over acuity.
    share : of the difference that is asked for, in (0, 1].
    """
    seen = (hues.left >= share * TOLD_APART) & (hues.noticed >= NOTICED)
    return np.asarray(seen & (size >= SMALLEST_SIZE))


def _left_of(part_lab: Floats, ground_lab: Floats, kept: Floats) -> Floats:
    """(..., 3) CIELAB that the blur leaves of a bar's middle on its ground."""
    part, ground = (xyz_from_lab(lab, SRGB_WHITE) for lab in (part_lab, ground_lab))
    return lab_from_xyz(np.maximum(filtered_bar(part, ground, kept), 0.0), SRGB_WHITE)


def _at_mean_lightness(first: Floats, second: Floats) -> tuple[Floats, Floats]:
    """Two colours, both at the mean of their L*."""
    mean = 0.5 * (first[..., :1] + second[..., :1])
    return (
        np.concatenate([mean, first[..., 1:]], axis=-1),
        np.concatenate([mean, second[..., 1:]], axis=-1),
    )
