"""Paint complements: which two pots mix to a brown or grey."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from preview.mix.neutral import most_neutral_mix
from preview.mix.recipes import mix_mixes
from preview.rack.load import load_rack
from preview.rack.paint import Rack

HARBOUR = load_rack("harbour")


def test_the_most_neutral_mix_is_the_least_chromatic_of_all_whole_drops() -> None:
    first, second = HARBOUR.mix({"buoy red": 1}), HARBOUR.mix({"rock pool teal": 1})
    found = most_neutral_mix(first, second, most_drops=8)
    chromas = {
        (a, b): float(np.hypot(*mix_mixes([(first, a), (second, b)]).lab[1:]))
        for a in range(1, 8)
        for b in range(1, 9 - a)
    }
    assert found.chroma == pytest.approx(min(chromas.values()))
    assert chromas[found.drops] == pytest.approx(found.chroma)
    assert sum(found.drops) <= 8
    np.testing.assert_allclose(found.mix.lab[0], found.lightness)


def test_red_and_teal_are_complements_and_yellow_and_green_are_not() -> None:
    pots = {name: HARBOUR.mix({name: 1}) for name in HARBOUR.paints}
    assert most_neutral_mix(pots["buoy red"], pots["rock pool teal"]).verdict == "complementary"
    assert most_neutral_mix(pots["lamp yellow"], pots["kelp green"]).verdict == "not"


def test_swatches_alone_cannot_always_tell() -> None:
    """A chroma between 8 and 18 is undecided until both paints are calibrated."""
    names = ("buoy red", "dusk violet")
    first, second = (HARBOUR.mix({name: 1}) for name in names)
    guess = most_neutral_mix(first, second)
    assert 8 < guess.chroma < 15
    assert guess.verdict == "can't tell"
    sure = Rack("sure", {name: replace(HARBOUR.paints[name], calibrated=True) for name in names})
    known = most_neutral_mix(*(sure.mix({name: 1}) for name in names))
    assert known.chroma == pytest.approx(guess.chroma)
    assert known.verdict == "near"
    half = most_neutral_mix(sure.mix({names[0]: 1}), second)
    assert half.verdict == "can't tell"


@pytest.mark.parametrize("pair", [("rust orange", "deep sea blue"), ("buoy red", "rock pool teal")])
def test_order_of_the_two_does_not_matter(pair: tuple[str, str]) -> None:
    first, second = (HARBOUR.mix({name: 1}) for name in pair)
    there, back = most_neutral_mix(first, second), most_neutral_mix(second, first)
    assert there.chroma == pytest.approx(back.chroma)
    assert there.drops == back.drops[::-1]
