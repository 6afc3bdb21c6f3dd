"""Warm with cold: order, brown, grey, what colour is left, against plain loops."""

from __future__ import annotations

from dataclasses import replace
from types import ModuleType

import numpy as np
import pytest

from preview.errors import CannotDo
from preview.mix.mixture import Mix
from preview.optics.ciede2000 import ciede2000
from preview.palette.kinds import is_brown
from preview.palette.pairs import CHART_DROPS, MIDDLE_BROWN, Pair, find_pairs
from preview.rack.load import load_rack
from preview.rack.paint import Rack
from tests.palette.oracle import lab_by_colour_science, mixed_by_hand, two_part_ratios
from tests.palette.racks import calibrated, rack_of

HARBOUR = load_rack("harbour")
ALL = find_pairs(HARBOUR, 1000)


def _chroma(mix: Mix) -> float:
    return float(np.hypot(mix.lab[1], mix.lab[2]))


def _named(pairs: tuple[Pair, ...], warm: str, cold: str) -> Pair:
    return next(p for p in pairs if (p.warm.name, p.cold.name) == (warm, cold))


def test_every_warm_pot_meets_every_cold_one_once() -> None:
    warm = ["rust orange", "buoy red", "lamp yellow", "anemone pink", "weathered skin"]
    cold = ["deep sea blue", "rock pool teal", "kelp green", "dusk violet", "slate"]
    met = [(p.warm.name, p.cold.name) for p in ALL.pairs]
    assert sorted(met) == sorted((w, c) for w in [*warm, "tarred rope"] for c in cold)
    assert ALL.count == len(met) == 30
    assert ALL.left_out == ("old brass",)
    assert ALL.pale is not None
    assert ALL.pale.name == "sailcloth"


def test_fewer_pairs_are_the_first_of_all() -> None:
    few = find_pairs(HARBOUR, 4)
    assert few.count == 30
    assert [(p.warm.name, p.cold.name) for p in few.pairs] == [
        (p.warm.name, p.cold.name) for p in ALL.pairs[:4]
    ]


def test_span_is_what_the_duller_pot_loses_and_orders_the_pairs() -> None:
    spans = [pair.span for pair in ALL.pairs]
    assert spans == sorted(spans, reverse=True)
    for pair in ALL.pairs:
        dull = min(_chroma(pair.warm.mix), _chroma(pair.cold.mix))
        assert pair.span == pytest.approx(max(dull - pair.neutral.chroma, 0.0), abs=1e-9)
    assert spans[-1] < 2 < 20 < spans[0]


def test_the_most_neutral_mix_is_that_of_a_plain_loop(colour_science: ModuleType) -> None:
    pair = _named(ALL.pairs, "buoy red", "rock pool teal")
    chroma = {}
    for drops in two_part_ratios(12):
        parts = [(pair.warm.paint, drops[0]), (pair.cold.paint, drops[1])]
        lab = lab_by_colour_science(colour_science, mixed_by_hand(parts))
        chroma[drops] = float(np.hypot(lab[1], lab[2]))
    best = min(chroma, key=lambda drops: chroma[drops])
    assert pair.neutral.drops == best
    assert pair.neutral.chroma == pytest.approx(chroma[best], abs=1e-3)


def test_the_brown_is_the_mix_nearest_to_a_middle_brown() -> None:
    for pair in ALL.pairs:
        near = {}
        for a, b in two_part_ratios(8):
            lab = HARBOUR.mix({pair.warm.name: a, pair.cold.name: b}).lab
            if is_brown(lab):
                near[a, b] = float(ciede2000(lab, np.array(MIDDLE_BROWN)))
        if pair.brown is None:
            assert not near
        else:
            drops = pair.brown.recipe[pair.warm.name], pair.brown.recipe[pair.cold.name]
            assert near[drops] == min(near.values())
    assert {pair.brown is None for pair in ALL.pairs} == {True, False}


def test_the_grey_is_the_least_chromatic_middle_grey_with_the_off_white() -> None:
    for pair in ALL.pairs[::3]:
        chroma = {}
        for a in range(1, 7):
            for b in range(1, 8 - a):
                for c in range(1, 9 - a - b):
                    mix = HARBOUR.mix({pair.warm.name: a, pair.cold.name: b, "sailcloth": c})
                    if 45 <= mix.lab[0] <= 65 and _chroma(mix) < 8:
                        chroma[tuple(mix.recipe.items())] = _chroma(mix)
        if pair.grey is None:
            assert not chroma
        else:
            assert _chroma(pair.grey) == pytest.approx(min(chroma.values()), abs=1e-9)
            assert set(pair.grey.recipe) == {pair.warm.name, pair.cold.name, "sailcloth"}
    assert {pair.grey is None for pair in ALL.pairs[::3]} == {True, False}


def test_colour_left_goes_from_one_pot_to_the_other() -> None:
    for pair in ALL.pairs:
        told = dict(zip(CHART_DROPS, pair.chroma, strict=True))
        assert told[1, 0] == pytest.approx(_chroma(pair.warm.mix))
        assert told[0, 1] == pytest.approx(_chroma(pair.cold.mix))
        mixed = HARBOUR.mix({pair.warm.name: 3, pair.cold.name: 1})
        assert told[3, 1] == pytest.approx(_chroma(mixed))
        half = HARBOUR.mix({pair.warm.name: 3, pair.cold.name: 1, "sailcloth": 4})
        np.testing.assert_allclose(pair.lightened[2].lab, half.lab, atol=1e-9)


def test_swatches_alone_cannot_deny_that_two_are_complements() -> None:
    doubtful = [p for p in ALL.pairs if p.neutral.verdict == "can't tell"]
    assert doubtful
    known = find_pairs(calibrated(HARBOUR), 1000).pairs
    for pair in doubtful:
        sure = _named(known, pair.warm.name, pair.cold.name)
        assert sure.neutral.chroma == pytest.approx(pair.neutral.chroma)
        assert sure.neutral.verdict == ("near" if pair.neutral.chroma <= 15 else "not")
        assert (pair.neutral.mix.certainty, sure.neutral.mix.certainty) == (
            "estimate",
            "calibrated",
        )


def test_without_an_off_white_nothing_is_lightened() -> None:
    found = find_pairs(rack_of({"rust": "#b4572b", "sea": "#25425f"}), 5)
    assert found.pale is None
    assert found.pairs[0].lightened == ()
    assert found.pairs[0].grey is None


@pytest.mark.parametrize(
    ("swatches", "lacking"),
    [
        ({"rust": "#b4572b", "white": "#f4f3ee"}, ["cold"]),
        ({"sea": "#25425f"}, ["warm"]),
        ({"grey": "#808080", "cream": "#e6dcc4"}, ["warm", "cold"]),
    ],
)
def test_a_rack_without_warm_or_cold_has_no_pairs(
    swatches: dict[str, str], lacking: list[str]
) -> None:
    with pytest.raises(CannotDo) as told:
        find_pairs(rack_of(swatches), 5)
    assert [fault.what for fault in told.value.faults] == [
        f"the rack has no {side} paint, so it has no pairs" for side in lacking
    ]


def test_a_metallic_pot_alone_makes_no_pair() -> None:
    brass = replace(HARBOUR.paints["old brass"])
    with pytest.raises(CannotDo, match="no warm paint"):
        find_pairs(Rack("r", {"old brass": brass, "slate": HARBOUR.paints["slate"]}), 5)
