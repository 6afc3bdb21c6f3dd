"""Whether areas of like value are told apart by their hue, at the size they have."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.judge.eye.noticeable_stone_2014 import noticeable_difference
from preview.judge.eye.scielab_zhang_wandell_1997 import filtered_bar, kept_of_bar
from preview.optics.cie1976_lab import lab_from_xyz, xyz_from_lab
from preview.optics.ciede2000 import ciede2000
from preview.optics.srgb_iec61966 import SRGB_WHITE

Floats = NDArray[np.float64]

TOLD_APART = 10.0
"""CIEDE2000 between map colours that readers tell apart (Brychtova and Coltekin 2016, doi
10.1080/15230406.2016.1140074)."""

NOTICED = 1.0


@dataclass(frozen=True, eq=False)
class Hues:
    """What hue and chroma alone say of parts on their grounds, each (...,) float64.

    raw : CIEDE2000 with both at their mean L*, as if seen from close by.
    left : the same after the eye's blur; noticed : in units of what half of a crowd notices.
    filtered : CIEDE2000 after the blur, value and hue together.
    """

    raw: Floats
    left: Floats
    noticed: Floats
    filtered: Floats


def hues_of(
    part_lab: Floats, ground_lab: Floats, width_arcmin: Floats, length_arcmin: Floats
) -> Hues:
    """Blur bars on their grounds and compare.

    Parameters
    ----------
    part_lab, ground_lab : (..., 3) CIELAB under D65.
    width_arcmin, length_arcmin : (...,) of the part, > 0.
    """
    kept = kept_of_bar(width_arcmin, length_arcmin)
    blurred = np.maximum(
        filtered_bar(
            xyz_from_lab(part_lab, SRGB_WHITE), xyz_from_lab(ground_lab, SRGB_WHITE), kept
        ),
        0.0,
    )
    left = lab_from_xyz(blurred, SRGB_WHITE)
    part, ground = _at_mean_lightness(part_lab, ground_lab)
    faint, beside = _at_mean_lightness(left, ground_lab)
    apart = (part - ground)[..., 1:] / noticeable_difference(width_arcmin)[..., 1:]
    return Hues(
        raw=ciede2000(part, ground),
        left=ciede2000(faint, beside),
        noticed=np.sqrt((apart**2).sum(axis=-1)),
        filtered=ciede2000(left, ground_lab),
    )


def told_by_hue(hues: Hues, size: Floats, share: float = 1.0) -> NDArray[np.bool_]:
    """Whether hue alone separates parts: both the filter and the crowd must say so.

    Parameters
    ----------
    size : width over acuity.
    share : of the difference that is asked for, in (0, 1].
    """
    return np.asarray((hues.left >= share * TOLD_APART) & (hues.noticed >= NOTICED) & (size >= 2.0))


def _at_mean_lightness(first: Floats, second: Floats) -> tuple[Floats, Floats]:
    """Two colours, both at the mean of their L*."""
    mean = 0.5 * (first[..., :1] + second[..., :1])
    return (
        np.concatenate([mean, first[..., 1:]], axis=-1),
        np.concatenate([mean, second[..., 1:]], axis=-1),
    )
