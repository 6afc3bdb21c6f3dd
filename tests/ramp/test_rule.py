"""Ramps by rule: laws over many pots and mid-tones, and plain words where the pots fall short."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from functools import cache

import numpy as np
import pytest

from preview.errors import CannotDo
from preview.mix.circle import NEUTRAL_CHROMA
from preview.mix.recipes import mix_mixes
from preview.optics.cie1976_lab import chroma_from_lab, hue_deg_from_lab
from preview.optics.spectrum import Floats
from preview.rack.load import load_rack
from preview.ramp.build import mix_steps, ramp_around
from preview.ramp.plan import plan_ramp
from preview.ramp.rule import (
    LEAST_STEP,
    MOST_DROPS,
    Drops,
    _turn,
    most_chroma,
    ramp_by_rule,
    step_names,
    steps_around,
    steps_below_and_above,
)
from preview.ramp.tray import Tray
from preview.ramp.words import Role
from preview.settings import STEPS

Case = tuple[Tray, dict[Role, int], int]
ROLES: tuple[Role, ...] = ("warm", "cold", "pale", "brown")
HARBOUR = load_rack("harbour")
KEEPERS: dict[Role, str] = {
    "warm": "rust orange",
    "cold": "deep sea blue",
    "pale": "sailcloth",
    "brown": "tarred rope",
}
# A yellow and a green or teal make no grey, so they are left out.
NEUTRALISING = [
    (warm, cold)
    for warm in ("rust orange", "buoy red", "anemone pink", "lamp yellow")
    for cold in ("deep sea blue", "rock pool teal", "dusk violet", "kelp green")
    if warm != "lamp yellow" or cold in ("deep sea blue", "dusk violet")
]


@cache
def _cases() -> tuple[Case, ...]:
    """Any four paints of the shipped racks, any mid-tone of them, any number of steps."""
    rng = np.random.default_rng(3)
    cases = []
    for rack in (HARBOUR, load_rack("pigments")):
        names = list(rack.paints)
        for _ in range(60):
            chosen = rng.choice(len(names), 4, replace=False)
            pots = {role: names[n] for role, n in zip(ROLES, chosen, strict=True)}
            counts = rng.integers(0, 4, 4)
            midtone = {r: int(c) for r, c in zip(ROLES, counts, strict=True) if c} or {ROLES[0]: 1}
            cases.append((Tray(rack, pots), midtone, int(rng.integers(3, 8))))
    return tuple(cases)


@cache
def _met() -> tuple[tuple[Case, dict[str, Drops]], ...]:
    """The cases that can be met, each with its steps."""
    met = []
    for case in _cases():
        with suppress(CannotDo):
            met.append((case, ramp_by_rule(*case)))
    return tuple(met)


def _lab(tray: Tray, steps: Mapping[str, Drops]) -> Floats:
    """(steps, 3) CIELAB, mixed the long way: drops of paint into mixes, mixes into mixes."""
    pots = {role: tray.rack.mix({name: 1}) for role, name in tray.pots.items()}
    return np.array([mix.lab for mix in mix_steps(steps, pots).values()])


def test_enough_of_the_cases_can_be_met() -> None:
    assert 20 <= len(_met()) < len(_cases())


def test_lightness_rises_strictly_and_within_the_pots() -> None:
    for (tray, _, count), steps in _met():
        lightness = _lab(tray, steps)[:, 0]
        assert len(steps) == count
        # 1e-6: the search and the mixing add up in another order
        assert (np.diff(lightness) >= LEAST_STEP - 1e-6).all()
        pots = [tray.lab(tray.unit(role))[0] for role in tray.roles]
        dark = [mix[0] for mix in tray.recipe_lab]
        assert lightness.max() <= max(pots) + 1.0
        assert lightness.min() >= min(dark) - 3.0


def test_steps_hold_pots_mid_tone_and_deep_only_and_few_drops() -> None:
    for (tray, midtone, _), steps in _met():
        for name, drops in steps.items():
            assert set(drops) <= {*tray.roles, "midtone", *(("deep",) if name == "shadow" else ())}
            assert all(isinstance(n, int) and n >= 1 for n in drops.values())
            if name == "midtone":
                assert drops == midtone
            else:
                assert sum(drops.values()) <= MOST_DROPS
                assert "midtone" in drops or (len(midtone) == 1 and set(midtone) < set(drops))


def test_a_mid_tone_of_one_pot_is_not_named_beside_that_pot() -> None:
    # The only dark pot of these is the cold one, so the goal may be cold, or warm and cold.
    pots: dict[Role, str] = {role: KEEPERS[role] for role in ROLES if role != "brown"}
    steps = ramp_by_rule(Tray(HARBOUR, pots), {"warm": 1}, 5)
    assert all(not {"warm", "midtone"} <= set(drops) for drops in steps.values())


def test_where_a_drop_darkens_too_much_the_shadow_lies_between_mid_tone_and_deep() -> None:
    tray = Tray(HARBOUR, {"warm": "lamp yellow", "cold": "dusk violet", "pale": "sailcloth"})
    steps = ramp_by_rule(tray, {"warm": 1}, 4)
    five = ramp_by_rule(tray, {"warm": 2, "pale": 1}, 5)
    assert set(five["shadow"]) == {"midtone", "deep"}
    deep, shadow, middle = _lab(tray, five)[:3, 0]
    assert 0.5 < (shadow - deep) / (middle - shadow) < 2.0
    assert "deep" not in steps["shadow"]


def test_the_off_white_grows_from_highlight_to_highlight() -> None:
    for _, steps in _met():
        names = list(steps)
        lights = [steps[name] for name in names[names.index("midtone") + 1 :]]
        shares = [drops["pale"] / drops["midtone"] for drops in lights]
        assert all(set(drops) == {"midtone", "pale"} for drops in lights)
        assert shares == sorted(set(shares))


def test_hue_drifts_one_way_on_either_side() -> None:
    turns = 0
    for (tray, _, count), steps in _met():
        plane = _lab(tray, steps)[:, 1:]
        below, _ = steps_below_and_above(count)
        moves = np.diff(plane, axis=0)
        for k in range(1, count - 1):
            one, other = moves[k - 1], moves[k]
            # Two lines meet at the mid-tone; moves shorter than 2 have no direction to speak of.
            if k != below and min(np.hypot(*one), np.hypot(*other)) > 2.0:
                assert one @ other > 0.5 * np.hypot(*one) * np.hypot(*other)
                turns += 1
    assert turns > 20


def test_the_same_pots_give_the_same_steps() -> None:
    for case, steps in _met():
        assert ramp_by_rule(*case) == steps
        tray, midtone, count = case
        twice = {role: 2 * drops for role, drops in midtone.items()}
        again = ramp_by_rule(tray, twice, count)
        assert {n: d for n, d in again.items() if n != "midtone"} == {
            n: d for n, d in steps.items() if n != "midtone"
        }


@pytest.mark.parametrize("steps", range(int(STEPS.low), 7))
@pytest.mark.parametrize("midtone", [{"warm": 2, "cold": 1}, {"warm": 1}, {"warm": 1, "pale": 1}])
def test_the_keepers_pots_give_even_steps(midtone: dict[Role, int], steps: int) -> None:
    found = ramp_by_rule(Tray(HARBOUR, KEEPERS), midtone, steps)
    rise = np.diff(_lab(Tray(HARBOUR, KEEPERS), found)[:, 0])
    below, _ = steps_below_and_above(steps)
    for side in (rise[:below], rise[below:]):
        # 1.7: whole drops up to nine leave no finer choice
        assert side.max() <= 1.7 * side.min()


@pytest.mark.parametrize(("warm", "cold"), NEUTRALISING)
@pytest.mark.parametrize("below", [1, 2])
def test_an_off_white_gets_no_pink_and_no_turquoise_shadow(
    warm: str, cold: str, below: int
) -> None:
    tray = Tray(HARBOUR, {"warm": warm, "cold": cold, "pale": "sailcloth"})
    lab = _lab(tray, steps_around(tray, {"pale": 1}, below, 0))[-2:]
    (shadow, own), (shadow_hue, own_hue) = chroma_from_lab(lab), hue_deg_from_lab(lab)
    turned = abs((shadow_hue - own_hue + 180.0) % 360.0 - 180.0)
    # No more colourful than the cloth, or about of its hue
    assert shadow <= own + 1.5 or turned <= 30.0


def test_a_black_or_dark_grey_gets_no_dyed_shadow() -> None:
    greys, bare = 0, 0
    for tray, _, _ in _cases():
        lab = tray.recipe_lab
        dark = (chroma_from_lab(lab) < NEUTRAL_CHROMA) & (lab[:, 0] < 50.0)
        for mix in np.flatnonzero(dark)[:3]:
            midtone = {r: int(n) for r, n in zip(tray.roles, tray.recipes[mix], strict=True) if n}
            steps = _lab(tray, steps_around(tray, midtone, 2, 0))
            # 1e-6: the search and the mixing add up in another order
            most = max(NEUTRAL_CHROMA, 1.5 * float(chroma_from_lab(lab[mix]))) + 1e-6
            assert (chroma_from_lab(steps[:-1]) <= most).all()
            greys, bare = greys + 1, bare + (len(steps) == 1)
    assert 0 < bare < greys


def test_a_dark_grey_takes_the_nearest_neutral_shadow() -> None:
    pots: dict[Role, str] = {**KEEPERS, "warm": "buoy red", "cold": "rock pool teal"}
    tray, midtone = Tray(HARBOUR, pots), {"warm": 1, "cold": 3, "pale": 1}
    shadow, own = _lab(tray, steps_around(tray, midtone, 1, 0))
    brown = _lab(tray, {"midtone": midtone, "brown": {"midtone": 1, "cold": 1, "brown": 1}})[1]
    # A shadow of brown would be nearer to a whole step, and look brown.
    assert brown[0] < shadow[0] <= own[0] - LEAST_STEP
    assert chroma_from_lab(shadow) <= NEUTRAL_CHROMA < chroma_from_lab(brown) - 4.0


def test_a_black_that_cannot_stay_neutral_is_its_ramps_darkest_step_and_told_so() -> None:
    tray = Tray(HARBOUR, {"warm": "buoy red", "cold": "rock pool teal", "pale": "sailcloth"})
    midtone: dict[Role, int] = {"warm": 1, "cold": 4}
    assert list(steps_around(tray, midtone, 1, 2)) == ["midtone", "highlight1", "highlight2"]
    with pytest.raises(CannotDo, match=r"it is neutral, L\* 38 and C\* 3, .* has C\* 13, "):
        ramp_by_rule(tray, midtone, 4)
    # The figure told is that of the mixes themselves, and they are there.
    goals = [(1, 0), (0, 1), (1, 1), (2, 1), (1, 2), (3, 1), (1, 3)]
    ratios = [(m, g) for m in range(1, 9) for g in range(1, 9)]
    drops = [(m + 5 * g * w, 4 * m + 5 * g * c, 0) for m, g in ratios for w, c in goals
             if m + g * (w + c) <= MOST_DROPS]  # fmt: skip
    lab = tray.lab(drops)
    darker = lab[:, 0] <= tray.lab([1, 4, 0])[0] - LEAST_STEP
    assert round(float(chroma_from_lab(lab[darker]).min())) == 13


def test_a_dark_grey_with_one_neutral_shadow_is_told_where_its_neutral_mixes_end() -> None:
    pots: dict[Role, str] = {**KEEPERS, "warm": "buoy red"}
    midtone: dict[Role, int] = {"warm": 1, "cold": 3, "pale": 1, "brown": 1}
    said = r"darkened in 1 of 2 steps only .* it has L\* 31, its neutral mixes end at L\* 26"
    with pytest.raises(CannotDo, match=said):
        ramp_by_rule(Tray(HARBOUR, pots), midtone, 5)


def test_a_white_may_have_coloured_shadows() -> None:
    tray = Tray(HARBOUR, {"warm": "lamp yellow", "cold": "kelp green", "pale": "whitewash"})
    shadow, own = _lab(tray, steps_around(tray, {"pale": 1}, 1, 0))
    assert chroma_from_lab(own) < NEUTRAL_CHROMA < chroma_from_lab(shadow)


def test_a_step_of_more_than_one_and_a_half_times_the_chroma_counts_as_astray() -> None:
    own = np.array([60.0, 24.0, 32.0])
    chroma = np.array([0.5, 1.0, 1.4, 1.5, 2.0])
    turned = _turn(np.column_stack([np.full(5, 50.0), chroma * 24.0, chroma * 32.0]), own)
    away = np.abs(chroma - 1.0) * 40.0
    np.testing.assert_allclose(turned[:4], away[:4], atol=1e-9)
    # 20 of chroma 80 lie beyond 60; they count again by their square.
    assert turned[4] == pytest.approx(40.0 + 2.0 * 20.0**2 / (40.0 + NEUTRAL_CHROMA))


def test_warm_and_cold_neutralise_in_other_parts_than_drop_by_drop_where_that_is_greyer() -> None:
    tray = Tray(HARBOUR, {"warm": "buoy red", "cold": "rock pool teal", "pale": "sailcloth"})
    deep = steps_around(tray, {"pale": 1}, 2, 0)["deep"]
    assert (deep["warm"], deep["cold"]) == (1, 2)
    even = {"midtone": deep["midtone"], "warm": 1, "cold": 1}
    one, other = chroma_from_lab(_lab(tray, {"midtone": {"pale": 1}, "deep": deep, "even": even}))[
        1:
    ]
    assert one < other - 5.0


@pytest.mark.parametrize("midtone", [{"warm": 2, "cold": 1}, {"warm": 1}, {"cold": 1, "pale": 2}])
def test_highlights_end_in_few_drops_where_more_would_hardly_be_more_even(
    midtone: dict[Role, int],
) -> None:
    found = steps_around(Tray(HARBOUR, KEEPERS), midtone, 0, 2)
    first, last = (sum(drops.values()) for drops in list(found.values())[1:])
    assert first <= 3
    assert last <= 5


def test_a_ramp_and_a_scheme_to_begin_from_follow_one_rule() -> None:
    tray = Tray(HARBOUR, KEEPERS)
    plan = plan_ramp(tray, np.array([45.0, 20.0, 25.0]))
    drops = plan.steps["midtone"]
    midtone = {role: drops[role] for role in ROLES if role in drops}
    assert ramp_by_rule(tray, midtone, 4) == dict(plan.steps)


def test_only_shadows_of_dark_neutrals_must_stay_neutral() -> None:
    assert most_chroma(np.array([30.0, 2.0, 0.0]), -1.0) == NEUTRAL_CHROMA
    assert most_chroma(np.array([30.0, 0.0, -7.0]), -1.0) == pytest.approx(1.5 * 7.0)
    for lab, sign in (((30.0, 2.0, 0.0), 1.0), ((60.0, 2.0, 0.0), -1.0), ((30.0, 9.0, 0.0), -1.0)):
        assert most_chroma(np.array(lab), sign) == np.inf


def test_the_dark_pot_is_a_concession() -> None:
    pots: dict[Role, str] = {**KEEPERS, "dark": "soot"}
    without = steps_around(Tray(HARBOUR, KEEPERS), {"warm": 1, "pale": 2}, 1, 1)
    assert steps_around(Tray(HARBOUR, pots), {"warm": 1, "pale": 2}, 1, 1) == without
    # Where the others give too little room it is taken.
    deep = steps_around(Tray(HARBOUR, pots), {"cold": 3, "brown": 1}, 1, 1)
    assert "dark" in deep["shadow"]


def test_a_mid_tone_that_cannot_be_lightened_is_told_in_plain_words() -> None:
    with pytest.raises(CannotDo, match="mid-tone cannot be lightened with these pots: it has L"):
        ramp_by_rule(Tray(HARBOUR, KEEPERS), {"pale": 1}, 5)
    with pytest.raises(CannotDo, match="cannot be darkened"):
        ramp_by_rule(Tray(HARBOUR, {"warm": "soot", "pale": "sailcloth"}), {"warm": 1}, 3)
    with pytest.raises(CannotDo, match=r"can be lightened in [1-3] of 4 steps only"):
        ramp_by_rule(Tray(HARBOUR, KEEPERS), {"warm": 1, "pale": 4}, 7)


def test_both_sides_fall_short_at_once() -> None:
    with pytest.raises(CannotDo) as caught:
        ramp_by_rule(Tray(HARBOUR, {"warm": "slate"}), {"warm": 1}, 3)
    assert len(caught.value.faults) == 2


def test_without_an_off_white_another_pot_lightens() -> None:
    pots: dict[Role, str] = {"warm": "lamp yellow", "cold": "deep sea blue"}
    steps = steps_around(Tray(HARBOUR, pots), {"warm": 1, "cold": 2}, 1, 2)
    assert set(steps["highlight1"]) == {"midtone", "warm"}


@pytest.mark.parametrize("steps", range(int(STEPS.low), int(STEPS.high) + 1))
def test_names_are_those_of_a_scheme_file(steps: int) -> None:
    names = step_names(*steps_below_and_above(steps))
    assert len(names) == len(set(names)) == steps
    assert "midtone" in names


def test_a_ramp_around_a_mid_tone_is_ready_to_paint_with() -> None:
    ramp = ramp_around("coat", HARBOUR, KEEPERS, {"warm": 2, "cold": 1}, 5)
    assert [step.name for step in ramp.steps] == [
        "deep", "shadow", "midtone", "highlight1", "highlight2"
    ]  # fmt: skip
    begins = [step.begins for step in ramp.steps]
    assert begins == sorted(begins)
    pale = HARBOUR.mix({"sailcloth": 1})
    light = ramp.steps[-1]
    again = mix_mixes([(ramp.midtone.mix, light.drops["midtone"]), (pale, light.drops["pale"])])
    np.testing.assert_allclose(light.mix.lab, again.lab, atol=1e-9)
