"""Advice in drops: it lifts the pair, harms none, is the smallest, and can be mixed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest

from preview.areas.sculpt import Sculpt
from preview.flow import Stand, judge_of, paint_sculpt
from preview.judge.conditions import every_condition
from preview.judge.grades import Grade
from preview.judge.judge import Judge
from preview.judge.mending import Mend, Mender, advise_drops, mend_all
from preview.judge.repaint import repainted
from preview.judge.verdict import Pair, Verdict
from preview.paint.painted import Painted
from preview.ramp.drop_changes import MOST_CHANGED, DropChange, RampChanges
from preview.ramp.load import load_scheme
from preview.ramp.write import scheme_text

SCHEME = """
title = "Two coats"
rack = "harbour"
rig = { sky = 1.0, key = 0.0, recess = 0.0, edge = 0.0, spread = 0.0 }

[pots]
warm = "rust orange"
cold = "deep sea blue"
pale = "sailcloth"
brown = "tarred rope"

[ramps.coat]            # what the crew wears
shadow = { cold = 3, brown = 1 }
midtone = { cold = 2, pale = 2 }

[ramps.strap]
midtone = { warm = 1 }  # as bought
highlight = [{ midtone = 4, pale = 1 }]
begins = [0.0, 0.95]

[ramps.boots]
midtone = { brown = 1 }

[areas]
coat = "coat"
strap = "strap"
boots = "boots"
"""


@pytest.fixture(scope="module")
def body(bodies: SimpleNamespace) -> Sculpt:
    """Boots under a coat with a wide strap around it."""
    bands = [("boots", 0.0, 5.0), ("coat", 5.0, 12.0), ("strap", 12.0, 14.5), ("coat", 14.5, 20.0)]
    return bodies.as_sculpt(bodies.column(4.0, bands))


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The scheme's file."""
    file = tmp_path_factory.mktemp("scheme") / "two-coats.toml"
    file.write_text(SCHEME, encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def judged(body: Sculpt, path: Path) -> tuple[Judge, Painted, list[Verdict]]:
    """The scheme on the body, judged at two distances."""
    painted = paint_sculpt(Stand(body, "rays"), load_scheme(path))
    conditions = every_condition([1.0, 1.6])
    judge = judge_of(painted, conditions)
    return judge, painted, judge.grade_all(painted, conditions)


@pytest.fixture(scope="module")
def advice(judged: tuple[Judge, Painted, list[Verdict]]) -> list[Mend]:
    """The changes that were found."""
    return [mend for mend in advise_drops(*judged) if mend is not None]


def test_the_scheme_has_something_to_mend(
    judged: tuple[Judge, Painted, list[Verdict]], advice: list[Mend]
) -> None:
    assert judged[2][0].below(Grade.READABLE)
    assert any(mend.enough for mend in advice)


def test_a_change_followed_does_what_it_says(
    judged: tuple[Judge, Painted, list[Verdict]], advice: list[Mend]
) -> None:
    judge, painted, before = judged
    conditions = [verdict.conditions for verdict in before]
    for mend in advice:
        changes = RampChanges(painted.scheme, painted.scheme.ramps[mend.change.ramp])
        again = repainted(painted, changes.apply(mend.change), "D65")
        after = judge.grade_all(again, conditions)
        told = {pair.name: pair.grade for pair in after[0].pairs}
        assert told[mend.pair] is mend.after
        assert mend.after > mend.before or mend.accent
        for old, new in zip(before, after, strict=True):
            for pair in old.pairs:
                now = new.pair_of(pair.part, pair.ground)
                assert now is not None
                assert now.grade >= pair.grade


def test_effects_are_all_that_changes_and_none_falls(advice: list[Mend]) -> None:
    for mend in advice:
        assert mend.pair in {effect.pair for effect in mend.effects} or mend.accent
        assert all(effect.after > effect.before for effect in mend.effects)


def test_whole_drops_of_the_scheme_s_own_pots_in_one_step(
    judged: tuple[Judge, Painted, list[Verdict]], advice: list[Mend]
) -> None:
    scheme = judged[1].scheme
    for mend in advice:
        change = mend.change
        words = {*scheme.pots, *scheme.ramps[change.ramp].step(change.step).drops}
        assert set(change.after) <= words
        assert all(isinstance(n, int) and n > 0 for n in change.after.values())
        assert 1 <= change.changed <= MOST_CHANGED


def test_no_smaller_change_would_have_done(
    judged: tuple[Judge, Painted, list[Verdict]], advice: list[Mend]
) -> None:
    judge, painted, before = judged
    conditions = [verdict.conditions for verdict in before]
    mend = next(mend for mend in advice if mend.enough and not mend.accent)
    part, ground = mend.pair.split(" on ")
    for drops in range(1, mend.change.changed):
        for ramp in {painted.scheme.areas[part], painted.scheme.areas[ground]}:
            changes = RampChanges(painted.scheme, painted.scheme.ramps[ramp])
            for change in changes.changes(drops):
                other = changes.apply(change)
                if not changes.rises(other):
                    continue
                after = judge.grade_all(repainted(painted, other, "D65"), conditions)
                pair = after[0].pair_of(part, ground)
                assert pair is not None
                falls = any(
                    new.pair_of(p.part, p.ground).grade < p.grade
                    for old, new in zip(before, after, strict=True)
                    for p in old.pairs
                )
                assert falls or pair.grade < Grade.READABLE


def test_every_lesser_change_is_tried_in_full(
    judged: tuple[Judge, Painted, list[Verdict]], monkeypatch: pytest.MonkeyPatch
) -> None:
    judge, painted, before = judged
    pair = before[0].below(Grade.READABLE)[0]
    mender = Mender(judge, painted, [verdict.conditions for verdict in before])
    index = mender._index(pair)
    lesser = [
        trial.change
        for ramp in mender._ramps_of(index)
        for drops in range(1, MOST_CHANGED + 1)
        for trial in mender._of(ramp).of(drops)
        if mender._spares(trial) and trial.at(index)[0] > pair.grade
    ]
    assert len(lesser) > 12
    tried: list[DropChange] = []
    monkeypatch.setattr(mender, "_verified", lambda trial, *_: tried.append(trial.change))
    assert mender.mend(pair) is None
    assert set(map(str, lesser)) <= set(map(str, tried))


def test_mended_in_a_row_and_written(
    judged: tuple[Judge, Painted, list[Verdict]], path: Path, body: Sculpt, tmp_path: Path
) -> None:
    judge, painted, before = judged
    made = mend_all(judge, painted, before)
    assert made
    conditions = [verdict.conditions for verdict in before]
    after = judge.grade_all(made[-1].painted, conditions)
    assert (after[0].readable_share or 0.0) > (before[0].readable_share or 0.0)
    assert len(after[0].below(Grade.READABLE)) < len(before[0].below(Grade.READABLE))

    # The file says the same as what was judged, and keeps its comments.
    text = scheme_text(load_scheme(path), [mend.change for mend in made], tmp_path)
    assert "# what the crew wears" in text
    written = tmp_path / "mended.toml"
    written.write_text(text, encoding="utf-8")
    scheme = load_scheme(written)
    assert scheme.title == "Two coats, mended"
    again = judge.grade_all(paint_sculpt(Stand(body, "rays"), scheme), conditions)
    for one, other in zip(again, after, strict=True):
        assert one.pairs == other.pairs
    assert path.read_text(encoding="utf-8") == SCHEME


def test_no_mend_lowers_the_share_of_border_that_reads(
    judged: tuple[Judge, Painted, list[Verdict]], monkeypatch: pytest.MonkeyPatch
) -> None:
    judge, painted, before = judged
    made = mend_all(judge, painted, before)
    sculpts = [painted, *(mend.painted for mend in made)]
    after = [judge.grade(one, before[0].conditions, advice=False) for one in sculpts]
    shares = [verdict.readable_share or 0.0 for verdict in after]
    assert shares == sorted(shares)
    assert shares[-1] > shares[0]

    # A change that undoes them all is refused, whatever it does for its pair.
    undo = replace(made[0], painted=painted)
    offered: list[str] = []

    def mend(_: Mender, pair: Pair) -> Mend:
        offered.append(pair.name)
        return undo

    monkeypatch.setattr(Mender, "mend", mend)
    weak = replace(before[0].pairs[0], grade=Grade.VISIBLE, accent=False)
    verdict = replace(after[-1], pairs=(weak,))
    assert mend_all(judge, sculpts[-1], [verdict]) == []
    assert offered == [weak.name]
