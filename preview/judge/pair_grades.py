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

    grade : (pairs,) int32; by_value : the same without hue.
    visibility, size : (pairs,) float64, medians over the border.
    """

    grade: NDArray[np.int32]
    by_value: NDArray[np.int32]
    visibility: Floats
    size: Floats

    def accents(self) -> NDArray[np.bool_]:
        """(pairs,): surely seen, but too thin for its shape to be read."""
        demand = DEMANDS[Grade.READABLE]
        return (self.visibility >= demand.visibility) & (self.size < demand.size)


def pair_grades(sight: Sight) -> PairGrades:
    """The grade of each pair, as `pairs_of` has it."""
    pair, count = sight.meeting.stretches.pair, len(sight.meeting.pairs)
    medians = medians_by_pair(sight.scores, sight.bars.weight, pair, count)
    hues = hues_by_pair(sight.hues, sight.bars.weight, pair, count)
    # A pair that no view shows has no median.
    unseen = np.isnan(medians.visibility)
    scores = Scores(
        *(np.nan_to_num(v) for v in (medians.visibility, medians.size, medians.step, medians.ratio))
    )
    by_value = grades_of(scores)
    grade = lifted_by_hue(by_value, hues, scores.size)
    return PairGrades(
        grade=np.where(unseen, -1, grade).astype(np.int32),
        by_value=np.where(unseen, -1, by_value).astype(np.int32),
        visibility=scores.visibility,
        size=scores.size,
    )


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


def hues_by_pair(hues: Hues, weight: Floats, pair: NDArray[np.integer], count: int) -> Hues:
    """What hue says, medians over the stretches of each pair, NaN for a pair without any."""
    return Hues(
        left=weighted_medians(hues.left, weight, pair, count),
        noticed=weighted_medians(hues.noticed, weight, pair, count),
    )
