"""The best sets of pots: the same as by trying everything, and bounded where not all is tried."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from preview.errors import CannotDo, UsageError
from preview.mix.neutral import most_neutral_mix
from preview.mix.ratios import distinct_ratios
from preview.mix.recipes import constants_of
from preview.mix.two_constant_duncan_1940 import mix_recipes, reflectance_of_mixes
from preview.mix.undertone import hides_undertone
from preview.optics.appearance import lab_from_reflectance
from preview.optics.ciede2000 import ciede2000
from preview.palette import rank
from preview.palette.choose import Ask, Choice, choose
from preview.palette.figures import WISHES, read_weights
from preview.palette.options import Pins
from preview.palette.targets import Targets
from preview.rack.load import load_rack
from preview.rack.paint import Rack
from tests.palette.brute_force import Figured, Scored, every_option, ranked
from tests.palette.racks import rack_by_rule, rack_of

# Weights under which nothing that pigments differ in goes unseen, and quite other ones.
NOT_HERE = ("near", "values", "owned")
PLAIN = {name: wish.weight for name, wish in WISHES.items() if name not in NOT_HERE}
OTHER = {**PLAIN, "reach": 1.0, "greys": 3.0, "hues": 2.0, "dark": 0.0, "contrast": 0.0}


@pytest.fixture(scope="module")
def rack() -> Rack:
    """24 paints: pigments with a brown and a black, and swatches by rule with off-whites."""
    made = rack_by_rule(36)
    names = list(made.paints)
    kept = [*names[2:15], names[21], *names[23:33]]
    return replace(made, paints={name: made.paints[name] for name in kept})


@pytest.fixture(scope="module")
def figured(rack: Rack) -> list[Figured]:
    """All options of the rack, mixed one by one."""
    return every_option(rack)


@pytest.fixture(scope="module")
def everything(figured: list[Figured]) -> list[Scored]:
    """All options of the rack in their order."""
    return ranked(figured, PLAIN)


def _rows(choice: Choice) -> list[tuple[float, tuple[str, ...]]]:
    """Score and pots of each option."""
    return [(one.score, tuple(one.pots.values())) for one in choice.best]


def test_the_rack_has_all_kinds_of_options(rack: Rack, everything: list[Scored]) -> None:
    assert len(rack.paints) == 24
    assert len(everything) > 100
    assert {len(pots) for _, pots, _ in everything} == {3, 4}
    assert {figures["dark"] for _, _, figures in everything} == {0.0, 1.0}


def test_the_top_ten_is_that_of_trying_everything(rack: Rack, everything: list[Scored]) -> None:
    choice = choose(rack)
    assert choice.options == len(everything)
    assert choice.at_most is None
    assert [pots for _, pots in _rows(choice)] == [pots for _, pots, _ in everything[:10]]
    for one, (score, _, figures) in zip(choice.best, everything, strict=False):
        assert one.score == pytest.approx(score, abs=2e-9)
        assert one.figures == pytest.approx({n: figures[n] for n in one.figures}, abs=1e-9)


def test_every_option_has_its_place(rack: Rack, everything: list[Scored]) -> None:
    choice = choose(rack, Ask(count=100))
    expected = [(score, pots) for score, pots, _ in everything[:100]]
    assert [row[1] for row in _rows(choice)] == [pots for _, pots in expected]
    assert [row[0] for row in _rows(choice)] == pytest.approx([s for s, _ in expected], abs=2e-9)


def test_other_weights_and_paints_to_buy(rack: Rack, figured: list[Figured]) -> None:
    missing = [one for one in rack.paints if one.startswith("swatch")][:3]
    weights = {**OTHER, "owned": 2.0}
    expected = ranked(figured, weights, missing)[:10]
    choice = choose(
        rack, Ask(Pins(missing=tuple(missing)), weights={**weights, "near": 4.0, "values": 2.0})
    )
    assert _rows(choice) == [(pytest.approx(score, abs=2e-9), pots) for score, pots, _ in expected]


def test_options_that_differ_are_the_first_of_the_order_that_do(
    rack: Rack, everything: list[Scored]
) -> None:
    kept: list[set[str]] = []
    for _, pots, _ in everything:
        new = [max(len(set(pots) - one), len(one - set(pots))) for one in kept]
        if len(kept) < 5 and min(new, default=4) >= 2:
            kept.append(set(pots))
    choice = choose(rack, Ask(count=5, differ=2))
    assert [set(pots) for _, pots in _rows(choice)] == kept


@pytest.mark.parametrize("pin", ["in", "out"])
def test_pins_choose_among_all_options(rack: Rack, everything: list[Scored], pin: str) -> None:
    name = everything[0][1][0 if pin == "out" else 1]
    pins = Pins(wanted=(name,)) if pin == "in" else Pins(unwanted=(name,))
    expected = [p for _, p, _ in everything if (name in p) == (pin == "in")][:10]
    assert [p for _, p in _rows(choose(rack, Ask(pins)))] == expected


@pytest.mark.parametrize("threes_at_once", [16, 10_000])
@pytest.mark.parametrize("tried_at_once", [1, 8, 100])
def test_out_of_time_nothing_left_out_scores_above_what_is_said(
    rack: Rack,
    everything: list[Scored],
    monkeypatch: pytest.MonkeyPatch,
    threes_at_once: int,
    tried_at_once: int,
) -> None:
    # Small steps, so that time is over long before a rack of 24 paints is done
    monkeypatch.setattr(rank, "_OPTIONS_AT_ONCE", threes_at_once)
    monkeypatch.setattr(rank, "_TRIED_AT_ONCE", tried_at_once)
    choice = choose(rack, Ask(seconds=0.0, count=len(everything)))
    held = {pots for _, pots in _rows(choice)}
    left = [score for score, pots, _ in everything if pots not in held]
    assert len(left) == len(everything) - choice.tried > 0
    assert choice.at_most is not None
    assert max(left) <= choice.at_most < 1.0


def test_the_bound_of_every_option_is_at_least_its_score(
    rack: Rack, everything: list[Scored], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Time over after ever more options: what is said falls, and always holds."""
    monkeypatch.setattr(rank, "_TRIED_AT_ONCE", 16)
    scores = {pots: score for score, pots, _ in everything}
    said = []
    for looks in (2, 6, 12, 20):
        clock = itertools.count()
        monkeypatch.setattr(rank.time, "monotonic", lambda clock=clock: float(next(clock)))
        choice = choose(rack, Ask(seconds=looks, count=len(everything)))
        monkeypatch.undo()
        monkeypatch.setattr(rank, "_TRIED_AT_ONCE", 16)
        held = {pots for _, pots in _rows(choice)}
        assert choice.at_most is not None
        assert max(score for pots, score in scores.items() if pots not in held) <= choice.at_most
        said.append(choice.at_most)
    assert said == sorted(said, reverse=True)
    assert said[-1] < said[0]


def test_out_of_time_in_a_large_rack(monkeypatch: pytest.MonkeyPatch) -> None:
    # As 200 paints are: neither all threes nor all fours are mixed.
    monkeypatch.setattr(rank, "_OPTIONS_AT_ONCE", 1024)
    monkeypatch.setattr(rank, "_TRIED_AT_ONCE", 256)
    large = rack_by_rule(40)
    hurried = choose(large, Ask(seconds=0.0))
    assert hurried.tried == 2 * 256 < hurried.options
    assert hurried.at_most is not None
    assert hurried.at_most < 1.0
    exact = choose(large, Ask(count=1))
    assert exact.at_most is None
    assert exact.best[0].score <= max(hurried.at_most, hurried.best[0].score)


@pytest.mark.parametrize("tried_at_once", [1, 8])
def test_out_of_time_the_best_without_mixes_of_four_were_tried(
    rack: Rack, everything: list[Scored], monkeypatch: pytest.MonkeyPatch, tried_at_once: int
) -> None:
    monkeypatch.setattr(rank, "_TRIED_AT_ONCE", tried_at_once)
    few = ranked(every_option(rack, most_pots=3), PLAIN)
    likely = {pots for _, pots, _ in few[:tried_at_once]}
    choice = choose(rack, Ask(seconds=0.0, count=len(everything)))
    assert choice.tried == 2 * tried_at_once
    assert likely <= {pots for _, pots in _rows(choice)}
    best = max(score for score, pots, _ in everything if pots in likely)
    assert choice.best[0].score >= best - 2e-9


def test_an_option_tells_of_undertones_unknown_and_how_sure_it_is(rack: Rack) -> None:
    harbour = load_rack("harbour")
    for one in choose(harbour).best:
        hidden = [name for name in one.pots.values() if hides_undertone(harbour.paints[name])]
        said = [note for note in one.notes if "undertone unknown" in note]
        assert len(said) == bool(hidden)
        assert all(f'"{name}"' in said[0] for name in hidden)
        assert one.certainty == "estimate"
    pigments = load_rack("pigments")
    by_tint = choose(pigments, Ask(Pins(wanted=("PB27",)), count=1)).best[0]
    assert any('undertone unknown: "PB27"' in note for note in by_tint.notes)
    sure = choose(_calibrated(harbour)).best
    assert not any("undertone" in note for one in sure for note in one.notes)


def test_every_figure_tells_options_apart(everything: list[Scored]) -> None:
    for name in PLAIN:
        values = np.array([figures[name] for _, _, figures in everything])
        assert np.ptp(values) > 0.1, name


def _calibrated(rack: Rack) -> Rack:
    """The same rack as if its paints were calibrated."""
    paints = {name: replace(paint, calibrated=True) for name, paint in rack.paints.items()}
    return replace(rack, paints=paints)


def _kinds(rack: Rack) -> dict[str, tuple[float, set[str]]]:
    """Warm and cold -> least C* of their mixes, and what comes fourth beside them."""
    kinds: dict[str, tuple[float, set[str]]] = {}
    for one in choose(rack, Ask(count=10_000)).best:
        pair = [one.pots[role] for role in ("warm", "cold")]
        chroma = most_neutral_mix(*(rack.mix({name: 1}) for name in pair)).chroma
        fourth = next((k for k in ("brown", "accent", "dark") if k in one.pots), "none")
        kinds.setdefault(" + ".join(pair), (chroma, set()))[1].add(fourth)
        said = " ".join(one.notes)
        if fourth in ("none", "brown"):
            assert ("an estimate" in said) == (not rack.paints[pair[0]].calibrated and chroma <= 18)
    return kinds


def test_only_calibrated_complements_bar_a_brown() -> None:
    sure = _kinds(_calibrated(load_rack("pigments")))
    assert all(("brown" in kinds) == (chroma > 8.0) for chroma, kinds in sure.values())
    assert all(("none" in kinds) == (chroma <= 8.0) for chroma, kinds in sure.values())
    open_ = _kinds(load_rack("pigments"))
    assert all("brown" in kinds for _, kinds in open_.values())
    assert all(("none" in kinds) == (chroma <= 18.0) for chroma, kinds in open_.values())
    # All three cases are there.
    assert len({np.searchsorted((8.0, 18.0), chroma) for chroma, _ in open_.values()}) == 3


def test_near_is_how_near_the_wanted_colours_come_in_fifths() -> None:
    harbour = load_rack("harbour")
    wanted = np.array(
        [[66.0, 15.0, 19.0], [38.0, 0.0, -30.0], [42.0, 50.0, 30.0], [86.0, 0.0, 6.0]]
    )
    weights = {**dict.fromkeys(WISHES, 0.0), "near": 1.0}
    choice = choose(harbour, Ask(weights=weights, targets=Targets(wanted, "four"), count=10_000))
    assert len(choice.best) == choice.options > 20
    expected = []
    for one in choice.best:
        names = tuple(one.pots.values())
        constants = constants_of([harbour.paints[name] for name in names])
        mixes = mix_recipes(*constants, distinct_ratios(len(names), 8))
        lab = lab_from_reflectance(reflectance_of_mixes(*mixes))
        far = ciede2000(lab[:, None], wanted[None]).min(axis=0)
        near = np.mean([far <= level for level in (2.0, 4.0, 6.0, 8.0, 10.0)])
        expected.append((float(near), names))
    assert [one.figures["near"] for one in choice.best] == pytest.approx([n for n, _ in expected])
    assert expected == sorted(expected, key=lambda row: (-round(row[0], 9), row[1]))
    assert len({round(near, 9) for near, _ in expected}) > 5
    assert "near" not in choose(harbour).weights


def test_a_rack_ofout_a_brown_says_so() -> None:
    bare = rack_of({"ochre": "#d8b02c", "moss": "#3f7a3a", "bone": "#e8dfc8"})
    best = choose(bare).best
    assert [dict(one.pots) for one in best] == [{"warm": "ochre", "cold": "moss", "pale": "bone"}]
    assert "the rack has none" in best[0].notes[0]


def test_a_dark_pot_costs_what_is_said(rack: Rack) -> None:
    plain, free = (
        choose(rack, Ask(weights={**PLAIN, **dict.fromkeys(NOT_HERE, 0.0), "dark": dark}, count=1))
        for dark in (1000.0, 0.0)
    )
    assert "dark" not in plain.best[0].pots
    assert free.best[0].score >= plain.best[0].score


def test_figures_that_are_the_same_for_all_are_left_out() -> None:
    harbour = load_rack("harbour")
    assert {"values", "owned"}.isdisjoint(choose(harbour).weights)
    bought = choose(harbour, Ask(Pins(missing=("rust orange",))))
    assert "owned" in bought.weights
    for one in bought.best:
        assert one.missing == (("rust orange",) if "rust orange" in one.pots.values() else ())
        assert one.figures["owned"] == pytest.approx(1.0 - len(one.missing) / len(one.pots))


def test_an_empty_pot_counts_as_missing() -> None:
    harbour = load_rack("harbour")
    empty = replace(harbour.paints["dusk violet"], stock_ml=0.0)
    rack = replace(harbour, paints={**harbour.paints, "dusk violet": empty})
    named = choose(harbour, Ask(Pins(missing=("dusk violet",))))
    assert choose(rack) == named


def test_pins_that_contradict_each_other_are_refused_all_at_once() -> None:
    harbour = load_rack("harbour")
    with pytest.raises(UsageError) as raised:
        choose(harbour, Ask(Pins(("soot", "rust ornge"), ("soot",), ("nothing like it",))))
    told = str(raised.value)
    assert '"soot" is wanted and not wanted' in told
    assert 'did you mean "rust orange"?' in told
    assert len(raised.value.faults) == 3


@pytest.mark.parametrize(
    ("pair", "says"),
    [
        (("rust orange", "buoy red"), "are both warm"),
        (("soot", "tarred rope"), "would share the fourth place"),
        (("old brass",), "has no role"),
    ],
)
def test_pins_that_cannot_stand_together_are_refused(pair: tuple[str, ...], says: str) -> None:
    with pytest.raises(UsageError, match=says):
        choose(load_rack("harbour"), Ask(Pins(wanted=pair)))


def test_a_brown_wanted_beside_complements_is_refused() -> None:
    wanted = ("rust orange", "deep sea blue", "tarred rope")
    harbour = load_rack("harbour")
    with pytest.raises(CannotDo, match="no set of four holds"):
        choose(_calibrated(harbour), Ask(Pins(wanted=wanted)))
    assert choose(harbour, Ask(Pins(wanted=wanted))).best[0].pots["brown"] == "tarred rope"


def test_weights_that_cannot_be_are_refused_all_at_once() -> None:
    with pytest.raises(UsageError) as raised:
        read_weights(["reach=-1", "raech=2", "span=much", "hues=nan"])
    assert len(raised.value.faults) == 4
    assert 'did you mean "reach"?' in raised.value.faults[1].fix
    with pytest.raises(UsageError, match="every weight is 0"):
        read_weights([f"{name}=0" for name in WISHES if name != "dark"])
    assert read_weights(["reach=2.5"])["reach"] == 2.5
