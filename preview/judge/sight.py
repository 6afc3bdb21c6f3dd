"""A sculpt's borders in the colours of one scheme, at one distance, in one light."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.judge.colours import Colours
from preview.judge.conditions import Conditions
from preview.judge.contrast import Contrasts
from preview.judge.eye.closed_form import Eye
from preview.judge.geometry import arcmin_from_mm, mm_from_arcmin
from preview.judge.grades import Scores, score_parts
from preview.judge.grouping import weighted_medians
from preview.judge.hue import Hues, hues_of
from preview.judge.meeting import Meeting
from preview.judge.verdict import MINOR_ARCMIN
from preview.judge.woven import Woven, weave

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Sight:
    """Every stretch of border with its tones, sizes, contrasts and scores.

    mean_y : mean luminance factor of figure and surround; luminance : the same in cd/m2.
    sides : (pairs, 2) int64, which of a pair's areas is the part (the thinner), which the ground.
    y : (stretches, 2) float64, luminance factor of part and ground where they meet.
    width_mm, width_arcmin : (stretches,) float64, of the part.
    length_arcmin : (stretches,) float64, of the bar that stands for the part, or of the border in
        sight when that is shorter.
    weight : (stretches,) float64, length in mm times the weight of the view.
    """

    meeting: Meeting
    colours: Colours
    conditions: Conditions
    eye: Eye
    mean_y: float
    luminance: float
    sides: NDArray[np.int64]
    y: Floats
    width_mm: Floats
    width_arcmin: Floats
    length_arcmin: Floats
    weight: Floats
    contrasts: Contrasts
    scores: Scores
    hues: Hues

    @property
    def minor(self) -> NDArray[np.bool_]:
        """(pairs,): in no view longer than 5 arc minutes from the nearest of the distances.

        The same pairs count at every distance asked for, so that their shares compare.
        """
        nearest_m = min(self.meeting.distance_m, self.conditions.distance_m)
        longest_mm = self.meeting.visible_mm.sum(axis=1).max(axis=1, initial=0.0)
        return np.asarray(longest_mm <= mm_from_arcmin(MINOR_ARCMIN, nearest_m))


def sight_of(
    meeting: Meeting,
    colours: Colours,
    conditions: Conditions,
    eye: Eye,
    woven: Woven | None = None,
) -> Sight:
    """Average the colours along each stretch of border, and test it.

    Parameters
    ----------
    meeting, colours : of one sculpt.
    woven : of the meeting and the rows of the colours; made here when left out.
    """
    if woven is None:
        woven = weave(meeting, colours.row, len(colours.luminance))
    stretches, distance_m = meeting.stretches, conditions.distance_m
    mean_y = conditions.mean_y(float(woven.share @ colours.luminance))
    luminance = conditions.luminance(mean_y)
    sides = _part_first(meeting)
    own = sides[stretches.pair]
    y = np.take_along_axis(woven.tones(colours.luminance[:, None])[..., 0], own, axis=1)
    lab = np.take_along_axis(woven.tones(colours.lab), own[..., None], axis=1)
    width_mm = np.take_along_axis(stretches.width_mm, own, axis=1)[:, 0]
    bar_mm = np.take_along_axis(stretches.part_mm, own, axis=1)[:, 0]
    in_sight_mm = meeting.visible_mm.sum(axis=1)[stretches.pair, stretches.view]
    length = arcmin_from_mm(np.minimum(bar_mm, in_sight_mm), distance_m)
    width = arcmin_from_mm(width_mm, distance_m)
    return Sight(
        meeting=meeting,
        colours=colours,
        conditions=conditions,
        eye=eye,
        mean_y=mean_y,
        luminance=luminance,
        sides=sides,
        y=y,
        width_mm=width_mm,
        width_arcmin=width,
        length_arcmin=length,
        weight=stretches.length_mm * meeting.view_weight[stretches.view],
        contrasts=Contrasts.between(y[:, 0], y[:, 1], lab[:, 0], lab[:, 1], mean_y),
        scores=score_parts(y[:, 0], y[:, 1], width, length, mean_y, luminance, eye),
        hues=hues_of(lab[:, 0], lab[:, 1], width, length),
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
