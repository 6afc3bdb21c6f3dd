"""Pre-thinned mixes: offered where one drop is too much, and equal to their drops all in one."""

from __future__ import annotations

import numpy as np
import pytest

from preview.optics.ciede2000 import ciede2000
from preview.palette.kinds import kind_of
from preview.palette.ranking import FAR
from preview.palette.recipes import POTS_OF_RACK, SAME, find_recipes
from preview.palette.thinned import Thinned, mixed, pre_thinned
from preview.palette.wanted import Wanted, read_colour
from preview.rack.load import load_rack
from preview.rack.paint import Rack

PIGMENTS = load_rack("pigments")


def test_a_whisper_of_a_strong_paint_comes_from_a_mix_made_before() -> None:
    wanted = Wanted(PIGMENTS.mix({"PW6": 40, "PB29": 1}).lab, "a whisper of blue")
    found = find_recipes(PIGMENTS, wanted, ("PW6", "PB29"))
    plain = PIGMENTS.mix({"PW6": 1}), PIGMENTS.mix({"PW6": 7, "PB29": 1})
    before = found.nearest.thinned
    assert before is not None
    assert (before.strong, before.carrier) == ("PB29", "PW6")
    nearest_plain = min(float(ciede2000(mix.lab, wanted.lab)) for mix in plain)
    assert nearest_plain - found.nearest.difference > SAME
    assert found.nearest.difference < SAME
    # Less than one drop of the strong paint in as many as may be counted out
    recipe = found.nearest.mix.recipe
    assert recipe["PB29"] * 8 < sum(recipe.values())


def test_none_is_offered_where_whole_drops_do() -> None:
    wanted = Wanted(PIGMENTS.mix({"PW6": 3, "PB29": 1}).lab, "a blue")
    for answer in find_recipes(PIGMENTS, wanted, ("PW6", "PB29")).answers:
        assert answer.thinned is None


def test_two_steps_are_the_same_paint_as_all_drops_in_one() -> None:
    thinned = Thinned("PB29", "PW6", carriers=9, taken=2)
    two = mixed(PIGMENTS, {"PW6": 3}, thinned)
    one = PIGMENTS.mix({"PW6": 3 * 10 + 2 * 9, "PB29": 2})
    assert two.recipe == one.recipe
    np.testing.assert_allclose(two.reflectance, one.reflectance, rtol=1e-12)
    assert pre_thinned(PIGMENTS, thinned).recipe == {"PW6": 9, "PB29": 1}


def test_only_a_darker_paint_is_let_down_in_a_pale_one_or_in_what_the_mix_is_made_of() -> None:
    """And with the whole rack no more than four pots are taken, and clearly nearer than without."""
    rng = np.random.default_rng(4)
    rack = Rack("eight", {n: PIGMENTS.paints[n] for n in list(PIGMENTS.paints)[:8]})
    offered = 0
    for _ in range(40):
        some = rng.choice(list(rack.paints), 3, replace=False)
        drops = dict(zip(map(str, some), (1, 6, 40), strict=True))
        wanted = Wanted(rack.mix(drops).lab, "a whisper")
        found = find_recipes(rack, wanted, (), 5)
        for answer in found.answers:
            before = answer.thinned
            if before is None:
                continue
            offered += 1
            looks = {name: rack.mix({name: 1}).lab for name in (before.strong, before.carrier)}
            assert looks[before.strong][0] < looks[before.carrier][0]
            most = max(answer.mix.recipe, key=lambda name: answer.mix.recipe[name])
            assert kind_of(looks[before.carrier]) == "pale" or before.carrier == most
            assert len(answer.mix.recipe) <= POTS_OF_RACK
            plain = [one.rank for one in found.answers if one.thinned is None]
            assert answer.rank <= FAR
            assert all(answer.rank <= min(rank - SAME, rank / 2) for rank in plain)
    assert offered >= 5


@pytest.mark.parametrize("text", ["#dfe8d8", "#c8d4e8", "#e8d0c8"])
def test_drops_to_count_out_hold_both_steps(text: str) -> None:
    found = find_recipes(PIGMENTS, read_colour(text), ("PW6", "PB29", "PR101", "PG17"))
    offered = [answer for answer in found.answers if answer.thinned is not None]
    assert len(offered) == 1
    before = offered[0].thinned
    assert before is not None
    assert offered[0].total == sum(offered[0].drops.values()) + before.taken + before.carriers + 1
    assert before.strong not in offered[0].drops
