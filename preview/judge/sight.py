"""A sculpt's borders in the colours of one scheme, at one distance, in one light."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from preview.judge.bars import Bars, bars_of
from preview.judge.colours import Colours
from preview.judge.conditions import Conditions
from preview.judge.contrast import Contrasts
from preview.judge.eye.closed_form import Eye
from preview.judge.geometry import mm_from_arcmin
from preview.judge.grades import Scores, score_parts
from preview.judge.hue import Hues, difference_left, hue_difference, hues_of
from preview.judge.meeting import Meeting
from preview.judge.verdict import MINOR_ARCMIN
from preview.judge.woven import Woven, weave

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Sight:
    """Every stretch of border with its sizes, tones and scores; contrasts and hues on demand.

    mean_y : mean luminance factor of figure and surround; luminance : the same in cd/m2.
    y : (stretches, 2) float64, luminance factor of part and ground where they meet.
    lab : (stretches, 2, 3) float64, CIELAB of both.
    """

    meeting: Meeting
    colours: Colours
    conditions: Conditions
    eye: Eye
    bars: Bars
    mean_y: float
    luminance: float
    y: Floats
    lab: Floats
    scores: Scores

    @cached_property
    def contrasts(self) -> Contrasts:
        """Of each stretch, where it meets."""
        return Contrasts.between(self.y[:, 0], self.y[:, 1], *self._both_lab, self.mean_y)

    @cached_property
    def hues(self) -> Hues:
        """What hue alone says of each stretch."""
        return hues_of(*self._both_lab, self.bars.width_arcmin, self.bars.kept)

    @cached_property
    def hue_close_by(self) -> Floats:
        """(stretches,): CIEDE2000 of hue and chroma alone, without blur."""
        return hue_difference(*self._both_lab)

    @cached_property
    def difference_left(self) -> Floats:
        """(stretches,): CIEDE2000 of value and hue together, after the eye's blur."""
        return difference_left(*self._both_lab, self.bars.kept)

    @property
    def _both_lab(self) -> tuple[Floats, Floats]:
        """(stretches, 3) CIELAB of part and ground."""
        return self.lab[:, 0], self.lab[:, 1]

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
    bars: Bars | None = None,
) -> Sight:
    """Average the colours along each stretch of border, and test it.

    Parameters
    ----------
    meeting, colours : of one sculpt.
    woven : of the meeting and the rows of the colours; made here when left out.
    bars : of the meeting from the conditions' distance; made here when left out.
    """
    if woven is None:
        woven = weave(meeting, colours.row, len(colours.luminance))
    if bars is None:
        bars = bars_of(meeting, conditions.distance_m)
    mean_y = conditions.mean_y(float(woven.share @ colours.luminance))
    luminance = conditions.luminance(mean_y)
    own = bars.sides[meeting.stretches.pair]
    y = np.take_along_axis(woven.tones(colours.luminance[:, None])[..., 0], own, axis=1)
    lab = np.take_along_axis(woven.tones(colours.lab), own[..., None], axis=1)
    return Sight(
        meeting=meeting,
        colours=colours,
        conditions=conditions,
        eye=eye,
        bars=bars,
        mean_y=mean_y,
        luminance=luminance,
        y=y,
        lab=lab,
        scores=score_parts(
            y[:, 0], y[:, 1], bars.width_arcmin, bars.length_arcmin, mean_y, luminance, eye
        ),
    )
