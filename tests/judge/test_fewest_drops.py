"""Advice in drops against trying every neighbour with the full grader, where hue alone can help."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from types import SimpleNamespace

import pytest

from preview.areas.sculpt import Sculpt
from preview.flow import Stand, judge_of, paint_sculpt
from preview.judge.conditions import Conditions
from preview.judge.eyes import read_eyes
from preview.judge.grades import Grade
from preview.judge.judge import Judge
from preview.judge.mending import Mend, Mender
from preview.judge.repaint import repainted
from preview.judge.verdict import Pair, Verdict
from preview.paint.painted import Painted
from preview.ramp.drop_changes import MOST_CHANGED, DropChange, RampChanges
from preview.ramp.load import load_scheme

RACK = """
title = "Like values"
paint = [
  { name = "red", lab = [50.0, 40.0, 28.0], origin = "guess" },
  { name = "teal", lab = [50.0, -30.0, -12.0], origin = "guess" },
  { name = "grey", lab = [46.0, 0.0, 0.0], origin = "guess" },
]
"""

SCHEME = """
title = "Like values"
rack = "like-values"
rig = { sky = 1.0, key = 0.0, recess = 0.0, edge = 0.0, spread = 0.0 }
pots = { warm = "red", cold = "teal", pale = "grey" }

[ramps]
coat = { midtone = { warm = 1, pale = 4 } }
skirt = { midtone = { warm = 1, pale = 4 } }
cap = { midtone = { cold = 1, pale = 1 } }

[areas]
coat = "coat"
skirt = "skirt"
cap = "cap"
"""

Judged = tuple[Judge, Painted, list[Verdict]]

ENOUGH = len(Grade)


@pytest.fixture(scope="module")
def body(bodies: SimpleNamespace) -> Sculpt:
    """Three wide bands."""
    bands = [("skirt", 0.0, 9.0), ("coat", 9.0, 18.0), ("cap", 18.0, 25.0)]
    return bodies.as_sculpt(bodies.column(6.0, bands))


@pytest.fixture(scope="module")
def judged_by(body: Sculpt, tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Judged]:
    """Coat and skirt alike, to some eyes first and to normal ones, too."""
    folder = tmp_path_factory.mktemp("like")
    (folder / "like-values.toml").write_text(RACK, encoding="utf-8")
    (folder / "scheme.toml").write_text(SCHEME, encoding="utf-8")
    painted = paint_sculpt(Stand(body, "rays"), load_scheme(folder / "scheme.toml"))

    @cache
    def judged(eyes: str) -> Judged:
        # The second ones differ in distance and eyes, so that sparing pairs is put to test.
        conditions = (
            Conditions(distance_m=1.0, eyes=read_eyes(eyes)),
            Conditions(distance_m=1.6, eyes=read_eyes("normal")),
        )
        judge = judge_of(painted, conditions)
        return judge, painted, judge.grade_all(painted, conditions, advice=False)

    return judged


def _neighbours(painted: Painted, pair: Pair) -> Iterator[tuple[DropChange, Painted]]:
    """Every change of up to three drops in one step of either area's ramp that keeps it rising."""
    scheme = painted.scheme
    for ramp in {scheme.areas[pair.part], scheme.areas[pair.ground]}:
        changes = RampChanges(scheme, scheme.ramps[ramp])
        for drops in range(1, MOST_CHANGED + 1):
            for change in changes.changes(drops):
                other = changes.apply(change)
                if changes.rises(other):
                    yield change, repainted(painted, other, "D65")


def _reached(before: Pair, after: Pair | None) -> int:
    """How good a pair has become, 0 when no better."""
    assert after is not None
    if after.grade >= Grade.READABLE or after.accent:
        return ENOUGH
    return int(after.grade) if after.grade > before.grade else 0


def _best_of_all(judged: Judged, pair: Pair) -> tuple[int, int] | None:
    """How good a pair becomes by the best harmless neighbour, and the fewest drops that do so."""
    judge, painted, before = judged
    best: tuple[int, int] | None = None
    for change, other in _neighbours(painted, pair):
        after = judge.grade_all(other, [verdict.conditions for verdict in before], advice=False)
        harmless = all(
            new.pair_of(old.part, old.ground).grade >= old.grade
            for was, new in zip(before, after, strict=True)
            for old in was.pairs
        )
        reached = _reached(pair, after[0].pair_of(pair.part, pair.ground))
        if harmless and reached:
            key = (reached, -change.changed)
            best = key if best is None else max(best, key)
    return best


def _found(judged: Judged, pair: Pair) -> Mend | None:
    judge, painted, before = judged
    return Mender(judge, painted, [verdict.conditions for verdict in before]).mend(pair)


@pytest.mark.parametrize("eyes", ["normal", "deutan:0.5", "60"])
def test_as_good_and_as_few_drops_as_trying_all(
    judged_by: Callable[[str], Judged], eyes: str
) -> None:
    judged = judged_by(eyes)
    weak = judged[2][0].below(Grade.READABLE)
    assert weak
    for pair in weak:
        mend, best = _found(judged, pair), _best_of_all(judged, pair)
        assert (mend is None) == (best is None)
        if mend is not None:
            reached = ENOUGH if mend.enough else int(mend.after)
            assert (reached, -mend.change.changed) == best


def test_a_pair_of_one_value_is_lifted_by_hue_alone(judged_by: Callable[[str], Judged]) -> None:
    judged = judged_by("normal")
    pair = judged[2][0].pair_of("skirt", "coat")
    assert pair is not None
    assert pair.grade is Grade.LOST
    mend = _found(judged, pair)
    assert mend is not None
    assert (mend.after, mend.by_hue, mend.enough) == (Grade.VISIBLE, True, False)
    after = judged[0].grade(mend.painted, judged[2][0].conditions).pair_of("skirt", "coat")
    assert after is not None
    assert after.step < 5.0
    assert "Told apart by hue" in after.hue_note
