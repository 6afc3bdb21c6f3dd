"""Many changes of one ramp, graded by value alone along the borders that it takes part in."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.judge.grades import Scores, grades_of, score_parts
from preview.judge.pair_grades import medians_by_pair
from preview.judge.repaint import areas_in
from preview.judge.sight import Sight
from preview.judge.woven import Woven
from preview.optics.appearance import xyz_from_reflectance
from preview.paint.painted import Painted
from preview.paint.table import LEVELS
from preview.ramp.drop_changes import DropChange, RampChanges
from preview.ramp.levels import ramp_reflectance
from preview.ramp.ramp import Ramp

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Trial:
    """One change, and what it makes of the pairs that the ramp takes part in.

    shift : how far it moves the ramp's luminance, root mean square of Y's cube root over tones.
    pairs : (n,) indices of those pairs; grade : (n,) by value alone; visibility, size : (n,).
    """

    change: DropChange
    ramp: Ramp
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
        self._sight, self._woven = sight, woven
        self._primer = painted.scheme.primer.reflectance
        areas = areas_in(painted, ramp)
        self._luminance = painted.table.luminance.astype(np.float64)
        self._areas = areas
        of_pair = np.asarray(np.isin(sight.meeting.pairs, areas).any(axis=1))
        self._rows = np.flatnonzero(of_pair[sight.meeting.stretches.pair])
        self._pairs, self._group = np.unique(
            sight.meeting.stretches.pair[self._rows], return_inverse=True
        )
        self._sides = tuple(matrix[self._rows] for matrix in woven.side)
        self._part_first = sight.sides[sight.meeting.stretches.pair[self._rows]]
        self._now = self._luminance[areas[0]] if len(areas) else np.zeros(LEVELS)
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
        looks = ramp_reflectance(ramp, LEVELS, self._primer)
        tones = xyz_from_reflectance(looks)[:, 1]
        scores = self._scores(tones)
        shift = np.sqrt(np.mean((np.cbrt(tones) - np.cbrt(self._now)) ** 2))
        return Trial(
            change,
            ramp,
            float(shift),
            self._pairs.astype(np.int64),
            grades_of(scores),
            scores.visibility,
            scores.size,
        )

    def _scores(self, tones: Floats) -> Scores:
        """The medians of the tests with other tones on the ramp's areas."""
        sight, luminance = self._sight, self._luminance.copy()
        luminance[self._areas] = tones
        flat = luminance.reshape(-1)
        both = np.stack([matrix @ flat for matrix in self._sides], axis=1)
        y = np.take_along_axis(both, self._part_first, axis=1)
        mean_y = sight.conditions.mean_y(float(self._woven.share @ flat))
        scores = score_parts(
            y[:, 0],
            y[:, 1],
            sight.width_arcmin[self._rows],
            sight.length_arcmin[self._rows],
            mean_y,
            sight.conditions.luminance(mean_y),
            sight.eye,
        )
        return medians_by_pair(scores, sight.weight[self._rows], self._group, len(self._pairs))
