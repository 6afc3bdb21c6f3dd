"""The quick grades of all pairs are those of the full verdict; ranking goes by the worst."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from preview.areas.sculpt import Sculpt
from preview.judge.colours import Colours
from preview.judge.compared import Compared, ranked
from preview.judge.conditions import Conditions
from preview.judge.grades import Grade
from preview.judge.judge import grade
from preview.judge.neighbours import measure_neighbours
from preview.judge.pair_grades import pair_grades
from preview.judge.sight import sight_of
from preview.judge.verdict import Verdict
from preview.optics.cie1976_lab import xyz_from_lab
from preview.optics.srgb_iec61966 import SRGB_WHITE


@pytest.fixture(scope="module")
def tower(bodies: SimpleNamespace) -> Sculpt:
    """Eight bands."""
    bands = [(f"band {k}", 2.0 * k, 2.0 * k + 2.0) for k in range(8)]
    return bodies.as_sculpt(bodies.column(5.0, bands))


@pytest.mark.parametrize("seed", range(4))
def test_the_same_as_the_verdict(tower: Sculpt, seed: int) -> None:
    random = np.random.default_rng(seed)
    lab = np.stack(
        [random.uniform(20, 80, 8), random.uniform(-30, 30, 8), random.uniform(-30, 30, 8)], axis=1
    )
    y = xyz_from_lab(lab, SRGB_WHITE)[:, 1]
    colours, conditions = Colours(y, lab, lab, tower.area), Conditions(1.2)
    meeting = measure_neighbours(tower)
    verdict = grade(meeting, colours, conditions=conditions)
    quick = pair_grades(sight_of(meeting, colours, conditions, conditions.eyes.observer))
    assert len(verdict.pairs) == int((quick.grade >= 0).sum())
    names = meeting.area_names
    for (first, second), found, accent in zip(
        meeting.pairs, quick.grade, quick.accents(), strict=True
    ):
        pair = verdict.pair_of(names[first], names[second])
        assert pair is not None
        assert (pair.grade, pair.accent) == (Grade(int(found)), accent)


def _compared(*shares: float) -> Compared:
    """A scheme that reads so far under each of the conditions."""
    verdicts = tuple(
        Verdict(Conditions(1.0 + k), 30.0, (), share, "", (), ()) for k, share in enumerate(shares)
    )
    return Compared(None, verdicts[0], verdicts)


def test_the_best_where_it_is_worst_comes_first() -> None:
    several = [_compared(0.9, 0.2), _compared(0.6, 0.5), _compared(0.5, 0.9)]
    assert ranked(several) == [2, 1, 0]
    assert [one.lowest_share for one in several] == [0.2, 0.5, 0.5]


def test_a_scheme_without_borders_ranks_last() -> None:
    none = Compared(None, Verdict(Conditions(), 30.0, (), None, "", (), ()))
    assert ranked([none, _compared(0.1)]) == [1, 0]
    assert none.lowest_share is None
