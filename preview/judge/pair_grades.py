"""Grades of all pairs at once, without the words: for trying many changes of a scheme."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.judge.grades import DEMANDS, Grade, Scores, grades_of, lifted_by_hue
from preview.judge.grouping import weighted_medians
from preview.judge.hue import Hues
from preview.judge.sight import Sight

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class PairGrades:
    """Per pair of a meeting; pairs that no view shows have grade -1.

    grade : (pairs,) int32; visibility, size : (pairs,) float64, medians over the border.
    """

    grade: NDArray[np.int32]
    visibility: Floats
    size: Floats

    def accents(self) -> NDArray[np.bool_]:
        """(pairs,): surely seen, but too thin for its shape to be read."""
        demand = DEMANDS[Grade.READABLE]
        return (self.visibility >= demand.visibility) & (self.size < demand.size)


def pair_grades(sight: Sight) -> PairGrades:
    """The grade of each pair, as `pairs_of` has it."""
    pair, count = sight.meeting.stretches.pair, len(sight.meeting.pairs)
    by_value = medians_by_pair(sight.scores, sight.weight, pair, count)
    found = sight.hues
    raw, left, noticed, filtered = (
        weighted_medians(values, sight.weight, pair, count)
        for values in (found.raw, found.left, found.noticed, found.filtered)
    )
    # A pair that no view shows has no median.
    unseen = np.isnan(by_value.visibility)
    zero = np.where(unseen, 0.0, 1.0)
    hues = Hues(*(np.nan_to_num(v) * zero for v in (raw, left, noticed, filtered)))
    scores = Scores(
        *(
            np.nan_to_num(v)
            for v in (by_value.visibility, by_value.size, by_value.step, by_value.ratio)
        )
    )
    grade = lifted_by_hue(grades_of(scores), hues, scores.size)
    return PairGrades(np.where(unseen, -1, grade).astype(np.int32), scores.visibility, scores.size)


def medians_by_pair(
    scores: Scores, weight: Floats, pair: NDArray[np.integer], count: int
) -> Scores:
    """Each test's median over the stretches of each pair, NaN for a pair without any."""
    return Scores(
        *(
            weighted_medians(values, weight, pair, count)
            for values in (scores.visibility, scores.size, scores.step, scores.ratio)
        )
    )
