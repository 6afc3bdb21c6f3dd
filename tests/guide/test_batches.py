"""Amounts by hand, whole recipes or dabs, nothing short and nothing lost."""

from __future__ import annotations

import math

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from preview.flow import Stand, paint_sculpt
from preview.guide.amounts import Amounts, amounts_of
from preview.guide.batches import Batch, Habits, batches_of, mixing_order, pot_uses
from preview.guide.laid import Laid


def test_drops_by_hand() -> None:
    # 1000 mm2 under 15 um dry are 15 mm3; 35 % of a drop stays, so 42.857 mm3 wet; half of it
    # stays on brush and palette, so 85.714 mm3; a drop holds 50 mm3: 1.714 drops.
    assert Habits().drops_for(1000.0) == pytest.approx(15 / 0.35 / 0.5 / 50)
    assert Habits(figures=7).drops_for(1000.0) == pytest.approx(7 * Habits().drops_for(1000.0))


def test_a_sphere_by_hand(globe, scheme_of) -> None:
    # A sphere of 15 mm: 4 pi 15^2 = 2827.4 mm2; two coats of 20 um are 113.1 mm3 dry; at 40 %
    # solids 282.7 mm3 wet; with a fifth lost 353.4 mm3; in drops of 0.05 ml 7.07.
    habits = Habits(coats=2, film_um=20, solids=0.4, drop_ml=0.05, waste=0.2)
    found = amounts_of(globe, paint_sculpt(globe, scheme_of("midtone = { warm = 3 }")), habits)
    (batch,) = found.batches
    by_hand = 4 * math.pi * 15**2 * 2 * 0.020 / 0.4 / 0.8 / 50
    assert by_hand == pytest.approx(7.07, abs=0.005)
    # An icosphere of 5120 faces lacks less than 0.3 % of its sphere.
    assert batch.needed == pytest.approx(by_hand, rel=3e-3)
    # One pot alone, however many drops of it are written: eight are the fewest that suffice.
    assert (batch.times, batch.drops) == (8, 8)
    assert batch.left == pytest.approx(8 - batch.needed)
    # Rust orange holds 17 ml: 8 drops are 0.4 ml.
    warm = next(pot for pot in found.pots if pot.role == "warm")
    assert (warm.drops, warm.ml) == (8, pytest.approx(0.4))
    assert (warm.stock_ml, warm.left_ml) == (17.0, pytest.approx(16.6))


def test_the_mixes_and_pots_of_a_figure_by_hand(scheme_of) -> None:
    # A drop of 0.05 ml, all of which stays and none is wasted, covers 1000 mm2 with 50 um.
    habits = Habits(film_um=50, solids=1, waste=0, drop_ml=0.05)
    scheme = scheme_of("""
shadow = { cold = 4, brown = 2 }
midtone = { warm = 3, cold = 1 }
highlight = [{ midtone = 2, pale = 1 }, { highlight1 = 1, pale = 1 }]""")
    drops = {"shadow": 2.9, "midtone": 2.5, "highlight1": 0.3, "highlight2": 0.06}
    laid = [
        Laid("plain", "plain", step, 1000 * n, 0.0, 1, "primer", True) for step, n in drops.items()
    ]
    batches = {b.step: b for b in batches_of(laid, list(scheme.ramps.values()), scheme, habits)}
    assert list(batches) == ["shadow", "midtone", "highlight1", "highlight2"]

    # Of two drops 0.06 are dabs, half of them highlight 1; that is 0.33 of three drops, dabs, too,
    # and two thirds of them mid-tone: 2.72 of it are needed, so its four drops are mixed once.
    # 4 : 2 is 2 : 1, and three drops of it suffice for 2.9.
    by_hand = {
        "highlight2": (0.06, 0.06, 0.0, 0.0, True),
        "highlight1": (0.33, 0.3, 0.03, 0.0, True),
        "midtone": (4, 2.5, 0.22, 1.28, False),
        "shadow": (3, 2.9, 0.0, 0.1, False),
    }
    for step, (mixed, needed, taken, left, dabs) in by_hand.items():
        batch = batches[step]
        found = (batch.drops, batch.needed, batch.taken, batch.left)
        assert found == pytest.approx((mixed, needed, taken, left), abs=1e-9), step
        assert batch.dabs is dabs

    # Off-white: 0.11 for highlight 1 and 0.03 for highlight 2. All that is mixed, less what mixes
    # give to each other, came out of the pots: 4 + 3 + 0.33 + 0.06 - 0.22 - 0.03.
    pots = {pot.role: pot.drops for pot in pot_uses(list(batches.values()), scheme, habits)}
    assert pots == pytest.approx({"warm": 3, "cold": 3, "pale": 0.14, "brown": 1, "metal": 0})
    assert sum(pots.values()) == pytest.approx(7.14)


def test_a_base_coat_and_its_shades_by_hand(scheme_of) -> None:
    # 1000 mm2 are one drop, as above. Of 2000 mm2 the shadow takes a quarter; the mid-tone lies on
    # all of it twice: 4 drops, where its own share alone, once, would have asked for 1.5.
    habits = Habits(film_um=50, solids=1, waste=0, drop_ml=0.05)
    scheme = scheme_of("shadow = { cold = 1 }\nmidtone = { warm = 3, cold = 1 }")
    laid = [
        Laid("plain", "plain", "shadow", 500, 0, 1, "midtone", True),
        Laid("plain", "plain", "midtone", 1500, 500, 2, "primer", True, first=True),
    ]
    found = {b.step: b for b in batches_of(laid, list(scheme.ramps.values()), scheme, habits)}
    assert (found["midtone"].needed, found["midtone"].drops) == (pytest.approx(4), 4)
    assert (found["shadow"].needed, found["shadow"].drops) == (pytest.approx(0.5), 1)


def test_a_base_coat_from_the_pots_is_mixed_whole_unless_its_recipe_is_long(scheme_of) -> None:
    # A tenth of a drop of 2, of 8 and of 9 drops.
    habits = Habits(film_um=50, solids=1, waste=0, drop_ml=0.05)
    for recipe, drops in (("warm = 1, cold = 1", 2), ("warm = 7, cold = 1", 8)):
        assert _batch_of_100_mm2(scheme_of, recipe, habits, first=True).drops == drops
        assert _batch_of_100_mm2(scheme_of, recipe, habits, first=False).dabs
    assert _batch_of_100_mm2(scheme_of, "warm = 8, cold = 1", habits, first=True).dabs
    # Nor is it, where it would ask for whole drops of another mix.
    scheme = scheme_of("shadow = { cold = 1, brown = 1 }\nmidtone = { shadow = 1, pale = 1 }")
    laid = [Laid("plain", "plain", "midtone", 100, 0, 1, "primer", True, first=True)]
    shadow, midtone = batches_of(laid, list(scheme.ramps.values()), scheme, habits)
    assert midtone.dabs
    assert (midtone.drops, shadow.taken) == (pytest.approx(0.1), pytest.approx(0.05))


def _batch_of_100_mm2(scheme_of, recipe: str, habits: Habits, first: bool) -> Batch:
    """The batch of a mid-tone for 100 mm2."""
    scheme = scheme_of(f"midtone = {{ {recipe} }}")
    laid = [Laid("plain", "plain", "midtone", 100, 0, 1, "primer", True, first=first)]
    (batch,) = batches_of(laid, list(scheme.ramps.values()), scheme, habits)
    return batch


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    figures=st.integers(1, 300),
    film_um=st.floats(1, 200),
    solids=st.floats(0.05, 1),
    waste=st.floats(0, 0.95),
)
def test_batches_are_whole_recipes_or_dabs_never_short_and_no_drop_is_lost(
    amounts: Amounts, figures: int, film_um: float, solids: float, waste: float
) -> None:
    habits = Habits(figures=figures, film_um=film_um, solids=solids, waste=waste)
    scheme = amounts.painted.scheme
    batches = batches_of(amounts.laid, amounts.ramps, scheme, habits)
    taken = 0
    for batch in batches:
        recipe = sum(batch.written.values())
        assert batch.left >= 0
        if batch.dabs:
            assert batch.drops < recipe / 4
            assert batch.drops == pytest.approx(batch.needed + batch.taken)
        else:
            assert batch.drops % recipe == 0
            assert batch.drops >= (batch.needed + batch.taken) * (1 - 1e-9)
            assert batch.left < recipe
        taken += batch.taken
    given_by_pots = sum(pot.drops for pot in pot_uses(batches, scheme, habits))
    assert given_by_pots == pytest.approx(sum(batch.drops for batch in batches) - taken)
    # All that is needed is in some batch, once.
    needed = sum(habits.drops_for(row.coat_mm2) for row in amounts.laid)
    assert sum(batch.needed for batch in batches) == pytest.approx(needed)


def test_what_other_mixes_take_is_mixed_too(amounts: Amounts) -> None:
    batches = {(b.ramp, b.step): b for b in amounts.batches}
    midtone = amounts.batch_of(amounts.painted.scheme.ramps["tall"].midtone)
    lights = [b for (ramp, _), b in batches.items() if ramp == "tall" and "midtone" in b.written]
    assert len(lights) == 5
    assert midtone.taken == pytest.approx(sum(b.times * b.written["midtone"] for b in lights))


def test_equal_mixes_of_two_ramps_are_one_batch(amounts: Amounts) -> None:
    # 3 : 1 and 6 : 2 are the same paint.
    ramps = amounts.painted.scheme.ramps
    assert amounts.batch_of(ramps["tall"].midtone) is amounts.batch_of(ramps["glazed"].midtone)
    uses = amounts.batch_of(ramps["tall"].midtone).uses
    assert set(uses) == {("tall", "midtone"), ("glazed", "midtone")}


def test_a_mix_stands_after_those_it_is_made_from_else_the_darker_first(amounts: Amounts) -> None:
    for ramp in amounts.ramps:
        order = [step.name for step in mixing_order(ramp)]
        assert sorted(order) == sorted(step.name for step in ramp.steps)
        for step in ramp.steps:
            for word in step.drops:
                if word in order:
                    assert order.index(word) < order.index(step.name)
    numbers = {(b.ramp, b.step): b.number for b in amounts.batches}
    assert numbers["tall", "deep"] < numbers["tall", "highlight1"]
    assert [b.number for b in amounts.batches] == list(range(1, len(amounts.batches) + 1))


def test_a_step_that_is_another_step_alone_is_no_batch_of_its_own(globe, scheme_of) -> None:
    text = "shadow = { midtone = 1 }\nmidtone = { warm = 1, pale = 1 }\nhighlight = { pale = 1 }"
    found = amounts_of(globe, paint_sculpt(globe, scheme_of(text)), Habits())
    mixed = found.batch_of(found.painted.scheme.ramps["plain"].step("shadow"))
    assert mixed.step == "midtone"
    assert mixed.taken == 0
    assert set(mixed.uses) == {("plain", "shadow"), ("plain", "midtone")}


def test_too_little_in_a_pot_is_told(amounts: Amounts, stand: Stand) -> None:
    assert all("holds" not in note for note in amounts.notes)
    many = amounts_of(stand, amounts.painted, Habits(figures=1000))
    assert any("holds" in note and "needed" in note for note in many.notes)
    assert any(pot["left_ml"] < 0 for pot in many.as_dict()["pots"])
