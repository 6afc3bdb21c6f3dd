"""The bars that stand for parts along the borders, as big as they look; made before any colour."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from preview.judge.eye.scielab_zhang_wandell_1997 import kept_of_bar
from preview.judge.geometry import arcmin_from_mm
from preview.judge.grouping import weighted_medians
from preview.judge.meeting import Meeting

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Bars:
    """Every stretch of border as a bar on its ground, from one distance.

    sides : (pairs, 2) int64, which of a pair's areas is the part (the thinner), which the ground.
    width_mm, width_arcmin : (stretches,) float64, of the part.
    length_arcmin : (stretches,) float64, of the bar that stands for the part, or of the border in
        sight when that is shorter.
    weight : (stretches,) float64, length in mm times the weight of the view.
    """

    sides: NDArray[np.int64]
    width_mm: Floats
    width_arcmin: Floats
    length_arcmin: Floats
    weight: Floats

    @cached_property
    def kept(self) -> Floats:
        """(stretches, 3): what the eye's blur leaves of luminance, red-green, blue-yellow."""
        return kept_of_bar(self.width_arcmin, self.length_arcmin)


def bars_of(meeting: Meeting, distance_m: float) -> Bars:
    """The bars of a sculpt's borders from a distance in metres."""
    stretches = meeting.stretches
    sides = _part_first(meeting)
    own = sides[stretches.pair]
    width_mm = np.take_along_axis(stretches.width_mm, own, axis=1)[:, 0]
    bar_mm = np.take_along_axis(stretches.part_mm, own, axis=1)[:, 0]
    in_sight_mm = meeting.visible_mm.sum(axis=1)[stretches.pair, stretches.view]
    return Bars(
        sides=sides,
        width_mm=width_mm,
        width_arcmin=arcmin_from_mm(width_mm, distance_m),
        length_arcmin=arcmin_from_mm(np.minimum(bar_mm, in_sight_mm), distance_m),
        weight=stretches.length_mm * meeting.view_weight[stretches.view],
    )


def _part_first(meeting: Meeting) -> NDArray[np.int64]:
    """(pairs, 2): which side of each pair is the thinner, then the other; a tie goes by name."""
    stretches, count = meeting.stretches, len(meeting.pairs)
    first, second = (
        weighted_medians(stretches.width_mm[:, k], stretches.length_mm, stretches.pair, count)
        for k in (0, 1)
    )
    by_name = np.array(
        [meeting.area_names[a] > meeting.area_names[b] for a, b in meeting.pairs], np.bool_
    )
    swap = (second < first) | ((second == first) & by_name)
    return np.stack([swap, ~swap], axis=1).astype(np.int64)
