"""What moving a ramp up or down in lightness makes of the borders that it takes part in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from preview.judge.grades import Grade, Scores, grades_of, score_parts
from preview.judge.pair_grades import medians_by_pair
from preview.judge.sight import Sight
from preview.judge.woven import Woven
from preview.optics.cie1976_lab import lightness_from_y, y_from_lightness

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Areas = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Moved:
    """A sight whose tones can be moved, graded exactly as the judge grades by value.

    Notes
    -----
    Holds exactly: moved by nothing, every pair has the scores that it has in the sight.
    Leaves out: hue, which lifts no pair to readable.
    """

    sight: Sight
    woven: Woven

    def wearing(self, area: int) -> Areas:
        """(areas,): those that move with one since they wear its ramp; none for bare primer."""
        worn = self.sight.colours.worn
        names = self.sight.meeting.area_names
        if not worn:
            return np.asarray(np.arange(len(names)) == area)
        return np.array([ramp is not None and ramp == worn[area] for ramp in worn])

    def scores(self, areas: Areas, pairs: Ints) -> Callable[[float], Scores]:
        """A change of L* of some areas -> the tests of some pairs after it, (pairs,) each."""
        sight = self.sight
        stretches = sight.meeting.stretches
        rows = np.flatnonzero(np.isin(stretches.pair, pairs))
        group = np.searchsorted(pairs, stretches.pair[rows])
        part_first = sight.bars.sides[stretches.pair[rows]]
        moves = np.flatnonzero(np.append(areas, False)[self._area_of_row] & self._shown)
        matrices = [matrix[rows] for matrix in self.woven.side]
        still = np.stack([matrix @ self._luminance for matrix in matrices], axis=1)
        sides = [matrix[:, moves].toarray() for matrix in matrices]
        share, whole = self.woven.share[moves], float(self.woven.share @ self._luminance)
        before, lightness = self._luminance[moves], lightness_from_y(self._luminance[moves])

        def after(by: float) -> Scores:
            more = y_from_lightness(np.clip(lightness + by, 0.0, 100.0)) - before
            both = still + np.stack([matrix @ more for matrix in sides], axis=1)
            # What is added may leave a black at a rounding below 0.
            y = np.maximum(np.take_along_axis(both, part_first, axis=1), 0.0)
            mean_y = sight.conditions.mean_y(whole + float(share @ more))
            scores = score_parts(
                y[:, 0],
                y[:, 1],
                sight.bars.width_arcmin[rows],
                sight.bars.length_arcmin[rows],
                mean_y,
                sight.conditions.luminance(mean_y),
                sight.eye,
            )
            return medians_by_pair(scores, sight.bars.weight[rows], group, len(pairs))

        return after

    def spoiled(self, areas: Areas) -> Callable[[float], tuple[str, ...]]:
        """A change of L* of some areas -> the pairs that count and read now, but not after it."""
        sight = self.sight
        meeting = sight.meeting
        beside = areas[meeting.pairs].any(axis=1) & ~sight.minor
        pairs = np.intersect1d(np.flatnonzero(beside), meeting.stretches.pair)
        after = self.scores(areas, pairs)
        reads = grades_of(after(0.0)) >= Grade.READABLE
        names = meeting.area_names

        def lost(by: float) -> tuple[str, ...]:
            gone = pairs[reads & (grades_of(after(by)) < Grade.READABLE)]
            both = [meeting.pairs[k][sight.bars.sides[k]] for k in gone]
            return tuple(f"{names[part]} on {names[ground]}" for part, ground in both)

        return lost

    @cached_property
    def _luminance(self) -> Floats:
        """(rows,) Y now."""
        return np.asarray(self.sight.colours.luminance, np.float64)

    @cached_property
    def _shown(self) -> Areas:
        """(rows,): those that meet another area or that a view shows."""
        met = sum(np.asarray(matrix.sum(axis=0)).reshape(-1) for matrix in self.woven.side)
        return np.asarray((met + self.woven.share) > 0.0)

    @cached_property
    def _area_of_row(self) -> Ints:
        """(rows,): the area that shows each row, -1 for one that meets nothing."""
        colours, meeting = self.sight.colours, self.sight.meeting
        if colours.area is not None:
            return np.asarray(colours.area, np.int64)
        touches = meeting.touches
        area = np.full(len(colours.luminance), -1, np.int64)
        pair = meeting.pairs[meeting.stretches.pair[touches.stretch]]
        for side in (0, 1):
            face = touches.face[:, side]
            area[face if colours.row is None else colours.row[face]] = pair[:, side]
        return area
