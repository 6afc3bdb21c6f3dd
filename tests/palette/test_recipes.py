"""Recipes for a colour against a plain loop over colour-science, and what must hold of any list."""

from __future__ import annotations

from itertools import pairwise, product
from math import gcd
from types import ModuleType

import numpy as np
import pytest

import preview.palette.recipes as recipes
from preview.errors import CannotDo, UsageError
from preview.optics.cie1976_lab import chroma_from_lab
from preview.optics.ciede2000 import ciede2000
from preview.palette.ranking import FAR, rank_of
from preview.palette.recipes import SAME, find_recipes, plan_search
from preview.palette.thinned import mixed, nearest_thinned
from preview.palette.wanted import Wanted, read_colour
from preview.rack.load import load_rack
from preview.rack.paint import Rack
from tests.palette.oracle import lab_by_colour_science, mixed_by_hand

HARBOUR, PIGMENTS = load_rack("harbour"), load_rack("pigments")
FOUR = ("rust orange", "deep sea blue", "sailcloth", "tarred rope")
COLOURS = ("#8a4b2a", "#6f7f6a", "#40424a", "#d9c2a0", "#00ff00", "#ff00ff")


def _counted(paints: int, most: int) -> list[tuple[int, ...]]:
    """Every ratio, by counting."""
    every = product(range(most + 1), repeat=paints)
    return [d for d in every if 0 < sum(d) <= most and gcd(*d) == 1]


def test_the_nearest_of_every_total_is_what_a_plain_loop_over_colour_science_finds(
    colour_science: ModuleType,
) -> None:
    names = FOUR[:3]
    paints = [HARBOUR.paints[name] for name in names]
    every = _counted(3, 6)
    parts = [list(zip(paints, drops, strict=True)) for drops in every]
    labs = np.array([lab_by_colour_science(colour_science, mixed_by_hand(p)) for p in parts])
    compared = 0
    # Colours out of reach, and colours a little beside a mix of them
    rng = np.random.default_rng(8)
    beside = labs[rng.choice(len(labs), 12)] + rng.normal(0.0, 2.0, (12, 3))
    wishes = [read_colour(text) for text in COLOURS] + [Wanted(lab, "beside") for lab in beside]
    for wanted in wishes:
        near = colour_science.delta_E(labs, wanted.lab, method="CIE 2000")
        apart = colour_science.delta_E(labs, wanted.lab, method="CIE 1976")
        ranks = np.where(near <= FAR, near, FAR + apart)
        front: dict[int, tuple[float, tuple[int, ...]]] = {}
        for drops, rank in zip(every, ranks, strict=True):
            best = front.get(sum(drops), (np.inf, ()))
            front[sum(drops)] = min(best, (float(rank), drops))
        # The list is what is left of those when nothing is gained by more drops.
        left: list[tuple[int, float, tuple[int, ...]]] = []
        for total in sorted(front):
            rank, drops = front[total]
            if not left or left[-1][1] - rank >= SAME or rank <= FAR < left[-1][1]:
                left.append((total, rank, drops))
        least, total = min((front[total][0], total) for total in front)
        left = [one for one in left if one[1] <= FAR] or [(total, least, front[total][1])]
        answers = find_recipes(HARBOUR, wanted, names, 6).answers
        found = [recipe for recipe in answers if recipe.thinned is None]
        if not found:
            # Nothing plain is left only where a pre-thinned mix is nearer and no plain one reaches.
            assert answers[0].rank < left[-1][1] - SAME
            assert left[-1][1] > FAR
            continue
        compared += 1
        assert [r.total for r in found] == [total for total, _, _ in left]
        for recipe, (_, rank, drops) in zip(found, left, strict=True):
            # 0.003: the weight tables have eleven digits, the white point of XYZ_to_xy rounds.
            assert recipe.rank == pytest.approx(rank, abs=3e-3)
            assert recipe.drops == {n: d for n, d in zip(names, drops, strict=True) if d}
    assert compared >= 12


@pytest.mark.parametrize("text", COLOURS)
@pytest.mark.parametrize("pots", [FOUR, ()], ids=["four pots", "the whole rack"])
def test_no_answer_can_be_bettered_in_both_drops_and_rank(text: str, pots: tuple[str, ...]) -> None:
    wanted = read_colour(text)
    found = find_recipes(HARBOUR, wanted, pots, 5)
    names = pots or tuple(HARBOUR.paints)
    rng = np.random.default_rng(5)
    some = [tuple(sorted(rng.choice(len(names), 4, replace=False))) for _ in range(60)]
    for chosen in {*some, (0, 1, 2, 3)}:
        for drops in _counted(4, 5)[:: 1 if pots else 7]:
            recipe = {names[p]: n for p, n in zip(chosen, drops, strict=True) if n}
            lab = HARBOUR.mix(recipe).lab
            rank, total = float(rank_of(lab, wanted.lab)), sum(drops)
            for answer in found.answers:
                assert not (total < answer.total and rank < answer.rank - 1e-9)
                if answer.thinned is None:
                    assert not (total <= answer.total and rank < answer.rank - 1e-9)


@pytest.mark.parametrize("text", COLOURS)
def test_the_list_grows_in_drops_as_it_nears_and_the_mixes_are_what_they_say(text: str) -> None:
    wanted = read_colour(text)
    for rack, pots in ((HARBOUR, ()), (PIGMENTS, ("PW6", "PB29", "PR101", "PY74"))):
        answers = find_recipes(rack, wanted, pots).answers
        totals = [answer.total for answer in answers]
        assert totals == sorted(set(totals))
        far = [answer.difference for answer in answers]
        for shorter, longer in pairwise(far):
            assert FAR >= shorter >= longer + SAME
        for answer in answers:
            made = mixed(rack, answer.drops, answer.thinned) if answer.thinned else answer.mix
            assert ciede2000(made.lab, wanted.lab) == pytest.approx(answer.difference, abs=1e-9)
            assert sum(answer.drops.values()) <= 8
            assert answer.mix.certainty == "estimate"


def test_a_mix_of_the_rack_is_found_again_in_its_fewest_drops() -> None:
    rng = np.random.default_rng(2)
    for _ in range(12):
        drops = {str(name): int(rng.integers(1, 3)) for name in rng.choice(FOUR, 3, replace=False)}
        mix = HARBOUR.mix(drops)
        found = find_recipes(HARBOUR, Wanted(mix.lab, "a mix"), FOUR)
        assert found.reached
        assert found.nearest.difference < SAME
        assert found.nearest.total <= sum(mix.recipe.values())


@pytest.mark.parametrize("most", [2, 3])
@pytest.mark.parametrize("pots", [("PO73", "PG7", "PW6"), ()], ids=["named", "rack"])
def test_what_more_drops_reach_is_told_in_the_fewest_that_do(
    pots: tuple[str, ...], most: int
) -> None:
    """Against a loop over every ratio of three pots, up to twice the drops asked for."""
    names = ("PO73", "PG7", "PW6")
    three = Rack("three", {name: PIGMENTS.paints[name] for name in names})
    every = _counted(3, 2 * most)
    labs = np.array(
        [three.mix({n: d for n, d in zip(names, drops, strict=True) if d}).lab for drops in every]
    )
    rng = np.random.default_rng(3)
    told: list[int] = []
    for place in rng.choice(len(every), 40):
        wanted = Wanted(labs[place] + rng.normal(0.0, 2.0, 3), "beside a mix")
        found = find_recipes(three, wanted, pots, most)
        near = rank_of(labs, wanted.lab) <= FAR
        totals = [sum(drops) for drops, reaches in zip(every, near, strict=True) if reaches]
        if found.reached:
            assert found.longer is None
        else:
            assert (found.longer and found.longer.total) == min(totals, default=None)
            assert found.told[:-1] == (found.answers if found.longer else ())
            told.append(min(totals, default=0))
            assert told[-1] == 0 or most < told[-1] <= 2 * most
    assert 0 in told
    assert len(set(told)) >= 3


def test_more_drops_than_can_be_asked_for_are_not_tried() -> None:
    found = find_recipes(HARBOUR, read_colour("#00ff00"), FOUR[:2], 20)
    assert found.longer is None


def test_a_colour_beyond_the_pots_is_not_reached() -> None:
    found = find_recipes(HARBOUR, read_colour("#00ff00"), FOUR)
    assert not found.reached
    assert found.nearest.difference > FAR


def test_the_nearest_to_a_magenta_out_of_reach_is_a_pink_and_no_grey() -> None:
    wanted = read_colour("#d000a0")
    found = find_recipes(HARBOUR, wanted)
    assert not found.reached
    assert set(found.nearest.drops) == {"anemone pink", "whitewash"}
    grey = {"anemone pink": 1, "weathered skin": 2, "rock pool teal": 2, "slate": 1}
    lab = HARBOUR.mix(grey).lab
    assert chroma_from_lab(lab) < 5.0
    # By CIEDE2000 that grey would be nearer than any pink
    assert ciede2000(lab, wanted.lab) < found.nearest.difference - 5.0
    assert np.linalg.norm(lab - wanted.lab) > found.nearest.distance + 20.0


def test_the_same_question_gets_the_same_answer() -> None:
    first, again = (find_recipes(HARBOUR, read_colour("#6f7f6a")) for _ in range(2))
    assert [(a.drops, a.difference) for a in first.answers] == [
        (a.drops, a.difference) for a in again.answers
    ]


@pytest.mark.parametrize(
    ("paints", "drops", "mixes"),
    [(3, 8, 118), (4, 8, 407), (5, 8, 1136), (6, 8, 2760), (4, 10, 831), (3, 12, 334)],
)
def test_named_pots_are_looked_at_in_every_ratio(paints: int, drops: int, mixes: int) -> None:
    # Counted independently in tests/mix/test_ratios.py
    plan = plan_search(HARBOUR, tuple(HARBOUR.paints)[:paints], drops)
    assert plan.looked_at == plan.of == mixes


def test_metallic_paints_are_mixed_only_where_they_are_named() -> None:
    flakes = [name for name, paint in HARBOUR.paints.items() if paint.finish == "metallic"]
    assert flakes
    assert not set(flakes) & set(plan_search(HARBOUR).pots)
    assert plan_search(HARBOUR, flakes[:1]).pots == (flakes[0],)


def test_the_whole_rack_is_every_choice_of_up_to_four() -> None:
    plan = plan_search(HARBOUR)
    # 14, 91, 364 and 1,001 choices of the 14 pots without flakes, times the ratios of all in each
    full = [sum(min(d) > 0 for d in _counted(k, 8)) for k in (1, 2, 3, 4)]
    assert plan.stages == {k: n * full[k - 1] for k, n in ((1, 14), (2, 91), (3, 364), (4, 1001))}


def test_a_rack_too_large_keeps_the_best_paints_for_mixes_of_most_pots(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    wanted = read_colour("#8a4b2a")
    whole = find_recipes(HARBOUR, wanted, (), 5)
    monkeypatch.setattr(recipes, "MOST_MIXES", whole.plan.of - 1)
    some = find_recipes(HARBOUR, wanted, (), 5)
    assert some.plan.looked_at < some.plan.of == whole.plan.of
    assert 4 <= some.plan.among < len(HARBOUR.paints)
    assert "are left out" in str(some.plan)
    # Mixes of up to three pots are all looked at, so what is lost is at most what a fourth brings.
    assert some.nearest.difference >= whole.nearest.difference
    monkeypatch.setattr(recipes, "MOST_MIXES", 50)
    with pytest.raises(CannotDo, match="too many"):
        find_recipes(HARBOUR, wanted, (), 5)


def test_progress_ends_at_all_of_it() -> None:
    heard: dict[str, tuple[int, int]] = {}
    find_recipes(
        HARBOUR,
        read_colour("#8a4b2a"),
        (),
        4,
        lambda step, done, total: heard.__setitem__(step, (done, total)),
    )
    assert {done for done, _ in heard.values()} == {total for _, total in heard.values()}
    assert len(heard) == 4


def test_all_slips_in_the_pots_are_told_at_once() -> None:
    with pytest.raises(UsageError) as caught:
        find_recipes(HARBOUR, read_colour("#fff"), ("rust ornage", "soot", "soot", "tar"))
    told = str(caught.value)
    assert 'did you mean "rust orange"?' in told
    assert '"soot" is named twice' in told
    assert 'no paint "tar"' in told
    with pytest.raises(UsageError, match="at most 6 pots"):
        find_recipes(HARBOUR, read_colour("#fff"), tuple(HARBOUR.paints)[:7])


@pytest.mark.parametrize("drops", [0, -3, 21, 10**9])
def test_drops_are_bounded(drops: int) -> None:
    with pytest.raises(UsageError, match="--drops must be from 1 to 20"):
        find_recipes(HARBOUR, read_colour("#fff"), (), drops)


def test_one_drop_and_one_paint_are_enough() -> None:
    alone = Rack("one", {"soot": HARBOUR.paints["soot"]})
    found = find_recipes(alone, read_colour("#ffffff"))
    assert [answer.drops for answer in found.answers] == [{"soot": 1}]
    assert len(find_recipes(HARBOUR, read_colour("#8a4b2a"), FOUR, 1).answers) == 1


def test_of_pre_thinned_mixes_alike_the_shortest_is_told() -> None:
    pots, wanted = ("PW6", "PV19", "PBk7"), read_colour("#ab82a4")
    (answer,) = find_recipes(PIGMENTS, wanted, pots, 8).answers
    assert answer.thinned is not None
    nearest: dict[int, float] = {}
    for _, drops, rank, thinned in nearest_thinned(PIGMENTS, pots, pots, wanted.lab, 8, 3):
        total = sum(drops.values()) + thinned.taken + thinned.carriers + 1
        nearest[total] = min(rank, nearest.get(total, np.inf))
    alike = [total for total, rank in nearest.items() if rank < min(nearest.values()) + SAME]
    assert answer.total == min(alike)
    assert answer.rank < min(nearest.values()) + SAME
    assert min(alike) < min(nearest, key=lambda total: nearest[total])
