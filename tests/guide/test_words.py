"""What the cards say: which step goes first, which mix is meant, what to keep covered."""

from __future__ import annotations

from dataclasses import replace

import pytest

from preview.guide.batches import Habits, PotUse
from preview.guide.guide import Guide
from preview.guide.words import guide_in_words


@pytest.fixture(scope="module")
def cards(guide: Guide) -> dict[str, dict]:
    """The cards by area."""
    return {card["name"]: card for card in guide_in_words(guide)["cards"]}


def test_a_card_says_which_step_goes_first_over_the_whole_area(cards: dict[str, dict]) -> None:
    for name, card in cards.items():
        first = [step["name"] for step in card["steps"] if "first, over all of it" in step["facts"]]
        assert first == ([] if name == "ground left bare" else ["midtone"])


def test_a_mix_in_another_is_told_by_its_number(guide: Guide) -> None:
    words = guide_in_words(guide)
    numbers = {use: str(m["number"]) for m in words["mixes"] for use in m["uses"]}
    lamp = next(c for c in words["cards"] if c["name"].startswith("lamp"))
    light = next(s for s in lamp["steps"] if s["name"] == "highlight 1")
    held = f"8\u00a0midtone (mix\u00a0{numbers['tall midtone']}) + 1\u00a0sailcloth"
    assert light["said"] == held
    for mix in words["mixes"]:
        for part in mix["parts"]:
            assert part["mix"] == ("(mix\u00a0" in part["name"])


def test_a_mix_made_for_an_earlier_area_is_kept_covered(guide: Guide) -> None:
    words = guide_in_words(guide)
    # The mid-tone of both is 3 : 1 of the same pots.
    both = [c for c in words["cards"] if c["name"] == "post" or c["name"].startswith("lamp")]
    earlier, later = both
    told = f"made with {earlier['letter']}\u00a0{earlier['name']}: keep it covered"
    says = {step["name"]: told in step["facts"] for step in later["steps"]}
    assert [name for name, said in says.items() if said] == ["midtone"]
    assert not any("covered" in fact for step in earlier["steps"] for fact in step["facts"])


def test_every_colour_says_its_lightness(guide: Guide, cards: dict[str, dict]) -> None:
    midtone = guide.amounts.painted.scheme.ramps["one"].midtone.mix
    (step,) = cards["step"]["steps"]
    assert step["words"].endswith(f", L*\u00a0{midtone.lab[0]:.0f}")
    words = guide_in_words(guide)
    shown = [s for row in words["chart"] for s in row["swatches"]]
    assert all("L*\u00a0" in s["words"] for s in (*shown, *words["mixes"], *words["pots"]))


def test_what_a_pot_gives_is_told_in_parts_that_add_up(guide: Guide) -> None:
    habits: Habits = guide.amounts.habits
    words = guide_in_words(guide)
    for pot, told in zip(guide.amounts.pots, words["pots"], strict=True):
        assert isinstance(pot, PotUse)
        if not pot.drops:
            assert told["spent"] == ""
            continue
        parts = [part.strip().split(" ")[0] for part in told["spent"].split(",")]
        if "<" in parts:
            continue
        on_figure, on_brush, left = map(float, parts)
        assert on_figure + on_brush + left == pytest.approx(pot.drops, abs=0.16)
        assert on_figure == pytest.approx(on_brush * (1 - habits.waste) / habits.waste, abs=0.11)


def test_amounts_of_dabs_are_not_counted(guide: Guide) -> None:
    rows = guide_in_words(guide)["mixes"]
    for row, batch in zip(rows, guide.amounts.batches, strict=True):
        told = {row["needed"], row["taken"], row["left"]}
        assert (told == {"–"}) == batch.dabs
        assert (row["drops"] == "dabs") == batch.dabs


def test_it_says_of_which_pots_the_hiding_is_assumed(guide: Guide) -> None:
    said = guide_in_words(guide)["assumed"]
    paints = guide.amounts.painted.scheme.rack.paints
    used = [paints[pot.paint] for pot in guide.amounts.pots if pot.drops]
    assert not any(paint.calibrated for paint in used)
    told, _, rest = said.partition("; like a white's for ")
    assert rest.startswith('"sailcloth". Try a coat on a test piece first.')
    assert "by the rack's word (opaque, semi or transparent) for" in told
    assert all(f'"{p.name}"' in told for p in used if p.name != "sailcloth")


def test_unknown_hiding_is_told_and_calibrated_pots_are_not_named(guide: Guide) -> None:
    painted = guide.amounts.painted
    rack = painted.scheme.rack

    def said(**change: object) -> str:
        paints = {name: replace(paint, **change) for name, paint in rack.paints.items()}
        scheme = replace(painted.scheme, rack=replace(rack, paints=paints))
        amounts = replace(guide.amounts, painted=replace(painted, scheme=scheme))
        return guide_in_words(replace(guide, amounts=amounts))["assumed"]

    assert 'middling, since the rack says nothing, for "rust orange"' in said(hiding="unknown")
    assert "assumed" not in said(calibrated=True)


def test_a_pot_that_gives_nothing_is_not_named(guide: Guide) -> None:
    first, *others = guide.amounts.pots
    assert f'"{first.paint}"' in guide_in_words(guide)["assumed"]
    amounts = replace(guide.amounts, pots=(replace(first, drops=0), *others))
    assert f'"{first.paint}"' not in guide_in_words(replace(guide, amounts=amounts))["assumed"]
