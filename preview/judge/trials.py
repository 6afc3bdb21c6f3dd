"""Many changes of one ramp, graded along the borders that it takes part in."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from preview.judge.colours import seen_of
from preview.judge.grades import Grade, Scores, grades_of, lifted_by_hue, score_parts
from preview.judge.hue import SMALLEST_SIZE, hues_of
from preview.judge.pair_grades import hues_by_pair, medians_by_pair
from preview.judge.repaint import areas_in
from preview.judge.sight import Sight
from preview.judge.woven import Woven
from preview.paint.painted import Painted
from preview.paint.table import LEVELS, paint_table
from preview.ramp.drop_changes import DropChange, RampChanges
from preview.ramp.ramp import Ramp

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Trial:
    """One change, and what it makes of the pairs that the ramp takes part in.

    shift : how far it moves the ramp's look, root mean square of CIELAB distances over tones.
    pairs : (n,) indices of those pairs; grade, visibility, size : (n,) of each, as the judge has
        them.
    """

    change: DropChange
    ramp: Ramp = field(repr=False)
    shift: float
    pairs: NDArray[np.int64]
    grade: NDArray[np.int32]
    visibility: Floats
    size: Floats

    def at(self, pair: int) -> tuple[int, float, float]:
        """Grade, visibility and size of one of the pairs."""
        place = int(np.searchsorted(self.pairs, pair))
        return int(self.grade[place]), float(self.visibility[place]), float(self.size[place])


class RampTrials:
    """The neighbours of one ramp, tried against one sight of a painted sculpt."""

    def __init__(self, ramp: str, painted: Painted, sight: Sight, woven: Woven) -> None:
        self._changes = RampChanges(painted.scheme, painted.scheme.ramps[ramp])
        self._sight = sight
        self._primer = painted.scheme.primer.reflectance
        areas = areas_in(painted, ramp)
        self._columns = areas[:, None] * LEVELS + np.arange(LEVELS)
        of_pair = np.asarray(np.isin(sight.meeting.pairs, areas).any(axis=1))
        stretches = sight.meeting.stretches
        self._rows = np.flatnonzero(of_pair[stretches.pair])
        self._pairs, self._group = np.unique(stretches.pair[self._rows], return_inverse=True)
        self._sides = woven.along(self._rows)
        self._part_first = sight.bars.sides[stretches.pair[self._rows]]
        self._tried: dict[int, list[Trial]] = {}

    def of(self, drops: int) -> list[Trial]:
        """Every change of so many drops that keeps the ramp rising, the gentlest first."""
        if drops not in self._tried:
            found = [self._try(change) for change in self._changes.changes(drops)]
            kept = [trial for trial in found if trial is not None]
            self._tried[drops] = sorted(kept, key=lambda trial: trial.shift)
        return self._tried[drops]

    def _try(self, change: DropChange) -> Trial | None:
        """One change, graded; None when the ramp would no longer rise."""
        ramp = self._changes.apply(change)
        if not self._changes.rises(ramp):
            return None
        conditions, colours = self._sight.conditions, self._sight.colours
        table = paint_table([ramp], self._primer, conditions.illuminant)
        tones, look = seen_of(table, conditions.eyes, conditions.illuminant)
        luminance, lab = colours.luminance.copy(), colours.lab.copy()
        luminance[self._columns], lab[self._columns] = tones, look
        scores = self._scores(luminance)
        now = colours.lab[self._columns[:1]]
        return Trial(
            change,
            ramp,
            float(np.sqrt(((look - now) ** 2).sum(axis=-1).mean())),
            self._pairs.astype(np.int64),
            self._with_hue(scores, lab),
            scores.visibility,
            scores.size,
        )

    def _scores(self, luminance: NDArray[np.floating]) -> Scores:
        """The medians of the tests with other tones on the ramp's areas."""
        sight, bars = self._sight, self._sight.bars
        both = self._sides.tones(luminance[:, None])[..., 0]
        y = np.take_along_axis(both, self._part_first, axis=1)
        mean_y = sight.conditions.mean_y(float(self._sides.share @ luminance))
        scores = score_parts(
            y[:, 0],
            y[:, 1],
            bars.width_arcmin[self._rows],
            bars.length_arcmin[self._rows],
            mean_y,
            sight.conditions.luminance(mean_y),
            sight.eye,
        )
        return medians_by_pair(scores, bars.weight[self._rows], self._group, len(self._pairs))

    def _with_hue(self, scores: Scores, lab: NDArray[np.floating]) -> NDArray[np.int32]:
        """Grades by value, raised by hue; hues are looked at only where they can raise any."""
        grade = grades_of(scores)
        low = (grade < Grade.VISIBLE) & (scores.size >= SMALLEST_SIZE)
        if not low.any():
            return grade
        here = np.flatnonzero(low[self._group])
        own = self._part_first[here][..., None]
        part, ground = np.take_along_axis(self._sides.tones(lab)[here], own, axis=1).swapaxes(0, 1)
        bars, rows = self._sight.bars, self._rows[here]
        hues = hues_of(part, ground, bars.width_arcmin[rows], bars.kept[rows])
        medians = hues_by_pair(hues, bars.weight[rows], self._group[here], len(self._pairs))
        return lifted_by_hue(grade, medians, scores.size)
