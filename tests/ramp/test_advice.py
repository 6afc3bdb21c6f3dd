"""The trade's rules, each kept and each broken, with the numbers that are said."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from preview.ramp.advice import Advice, advise
from preview.ramp.load import load_scheme

# Colours chosen so that each rule has a clear case; the blue and the red-orange pass through a
# neutral, the yellow and the green do not.
RACK = {
    "red-orange": "#b4532b",
    "red-violet": "#8c3a52",
    "blue": "#25466a",
    "yellow": "#d8b02c",
    "green": "#3f7a3a",
    "grey": "#808080",
    "off-white": "#e8dfc8",
    "white": "#fbfbfa",
    "khaki": "#9c9070",
    "brown": "#5c4330",
    "coal": "#161617",
    "slate": "#3d4045",
}
BASE = {"warm": "red-orange", "cold": "blue", "pale": "off-white"}
RAMP = "shadow = { cold = 1 }\nmidtone = { warm = 1 }\nhighlight = { pale = 1 }"

Advise = Callable[..., list[Advice]]


@pytest.fixture
def advice_on(tmp_path: Path) -> Advise:
    """Findings on a scheme with some pots, under one rule."""

    def find(rule: str, pots: dict[str, str], ramp: str = RAMP, calibrated: bool = False):  # type: ignore[no-untyped-def]
        tint = "scattering = [-1.0, 0.0, 0.0]\n" if calibrated else ""
        rack = "".join(f'[[paint]]\nname = "{n}"\nsrgb = "{c}"\n{tint}' for n, c in RACK.items())
        (tmp_path / "box.toml").write_text(rack, encoding="utf-8")
        lines = "\n".join(f'{role} = "{name}"' for role, name in pots.items())
        path = tmp_path / "scheme.toml"
        path.write_text(
            f'rack = "box"\n[pots]\n{lines}\n[ramps.coat]\n{ramp}\n[areas]\ncoat = "coat"\n',
            encoding="utf-8",
        )
        return [found for found in advise(load_scheme(path)) if found.rule == rule]

    return find


def test_a_warm_and_a_cold_pot_on_their_sides_are_fine(advice_on: Advise) -> None:
    warm, cold = advice_on("warm and cold", BASE)
    assert warm.fine
    assert cold.fine
    assert "37° on the painters' circle, red-orange" in warm.sentence
    assert warm.where == "pots.warm"


@pytest.mark.parametrize(
    ("role", "name", "says"),
    [
        ("cold", "yellow", "on the warm side, though it is the cold pot"),
        ("warm", "green", "on the cold side, though it is the warm pot"),
        ("warm", "grey", "neither warm nor cold"),
        ("warm", "red-violet", "borderline, within 15°"),
    ],
)
def test_a_pot_on_the_wrong_side_is_told(
    advice_on: Advise, role: str, name: str, says: str
) -> None:
    found = advice_on("warm and cold", {**BASE, role: name})
    [told] = [a for a in found if a.where == f"pots.{role}"]
    assert says in told.sentence
    assert not told.fine


def test_pots_that_have_changed_places_are_told(advice_on: Advise) -> None:
    found = advice_on("warm and cold", {**BASE, "warm": "blue", "cold": "red-orange"})
    assert "have they changed places?" in found[-1].sentence


def test_a_missing_side_is_told(advice_on: Advise) -> None:
    pots = {"warm": "red-orange", "pale": "off-white"}
    found = advice_on("warm and cold", pots, "midtone = { warm = 1 }")
    assert [a.sentence for a in found if not a.fine] == ["The scheme has no cold pot."]
    assert advice_on("brown", pots, "midtone = { warm = 1 }") == []


def test_brown_is_rightly_left_out_where_the_pair_mixes_to_a_neutral(advice_on: Advise) -> None:
    [found] = advice_on("brown", BASE)
    assert found.fine
    assert found.sentence.startswith("Brown is rightly left out")
    assert "drops, has chroma" in found.sentence


def test_a_needless_brown_is_told_with_the_mix_that_replaces_it(advice_on: Advise) -> None:
    [found] = advice_on("brown", {**BASE, "brown": "brown"})
    assert not found.fine
    assert found.sentence.startswith("Brown may be left out")
    assert "The pot itself comes within ΔE00" in found.sentence


FAR = {"warm": "yellow", "cold": "green", "pale": "off-white"}


def test_a_needed_brown_is_fine(advice_on: Advise) -> None:
    [found] = advice_on("brown", {**FAR, "brown": "brown"})
    assert found.fine
    assert found.sentence.startswith("Brown is needed")


def test_leaving_out_a_needed_brown_is_told(advice_on: Advise) -> None:
    [found] = advice_on("brown", FAR)
    assert not found.fine
    assert "not mix to a neutral" in found.sentence


def test_from_swatches_alone_one_may_not_be_able_to_tell(advice_on: Advise) -> None:
    pots = {"warm": "yellow", "cold": "blue", "pale": "off-white"}
    [swatches] = advice_on("brown", pots)
    assert not swatches.fine
    assert "one can't tell" in swatches.sentence
    [kept] = advice_on("brown", {**pots, "brown": "brown"})
    assert kept.fine
    [calibrated] = advice_on("brown", pots, calibrated=True)
    assert "can't tell" not in calibrated.sentence


@pytest.mark.parametrize(
    ("name", "fine", "says"),
    [
        ("off-white", True, "is an off-white (L* 89"),
        ("white", False, "is a pure white (L* 99"),
        ("khaki", False, "is dark for a pale pot (L* 60"),
    ],
)
def test_off_white_rather_than_pure_white(
    advice_on: Advise, name: str, fine: bool, says: str
) -> None:
    [found] = advice_on("off-white", {**BASE, "pale": name})
    assert found.fine is fine
    assert says in found.sentence


def test_no_pale_pot_is_told(advice_on: Advise) -> None:
    pots = {"warm": "red-orange", "cold": "blue"}
    [found] = advice_on("off-white", pots, "midtone = { warm = 1 }")
    assert not found.fine


def test_a_ramp_that_does_not_rise_is_told_at_its_step(advice_on: Advise) -> None:
    ramp = "shadow = { warm = 1 }\nmidtone = { cold = 1 }\nhighlight = [{ pale = 1 }, { cold = 1 }]"
    first, second = advice_on("rising lightness", BASE, ramp)
    assert first.where == "ramps.coat.midtone"
    assert "midtone (L* 28.9) is not lighter than shadow (L* 47.0)" in first.sentence
    assert second.where == "ramps.coat.highlight2"
    assert advice_on("rising lightness", BASE) == []


def test_a_ramp_that_hardly_rises_is_told(advice_on: Advise) -> None:
    ramp = "shadow = { cold = 60, pale = 1 }\nmidtone = { cold = 55, pale = 1 }"
    [found] = advice_on("rising lightness", BASE, ramp)
    assert "hardly lighter" in found.sentence


def test_a_glaze_is_judged_as_it_looks_over_its_ground(advice_on: Advise) -> None:
    thin = "midtone = { cold = 1 }\nhighlight = { pale = 1, glaze = 0.001 }"
    assert len(advice_on("rising lightness", BASE, thin)) == 1
    assert advice_on("rising lightness", BASE, thin.replace("0.001", "0.5")) == []


def test_a_dark_pot_that_a_mix_makes_needless_is_told(advice_on: Advise) -> None:
    [found] = advice_on("dark", {**BASE, "dark": "slate"})
    assert not found.fine
    assert "is needless" in found.sentence
    own, mixed = (float(part.split()[0].rstrip(".);")) for part in found.sentence.split("L* ")[1:])
    assert mixed <= own + 3.0


def test_a_dark_pot_that_is_out_of_reach_earns_its_place(advice_on: Advise) -> None:
    [found] = advice_on("dark", {**BASE, "dark": "coal"})
    assert found.fine
    assert "earns its place" in found.sentence
    assert advice_on("dark", BASE) == []


def test_what_nothing_uses_is_told(advice_on: Advise) -> None:
    ramp = RAMP + "\n[ramps.spare]\nmidtone = { warm = 1 }"
    found = advice_on("unused", {**BASE, "dark": "coal"}, ramp)
    assert [a.where for a in found] == ["pots.dark", "ramps.spare"]
    assert advice_on("unused", BASE) == []


def test_the_numbers_said_are_those_of_the_paints(advice_on: Advise, tmp_path: Path) -> None:
    from preview.mix.neutral import most_neutral_mix

    [found] = advice_on("brown", BASE)
    scheme = load_scheme(tmp_path / "scheme.toml")
    neutral = most_neutral_mix(scheme.pot("warm"), scheme.pot("cold"))
    warm, cold = neutral.drops
    again = scheme.rack.mix({"red-orange": warm, "blue": cold})
    chroma = float(np.hypot(*again.lab[1:]))
    assert (
        f"{warm} to {cold} drops, has chroma {chroma:.1f} at L* {again.lab[0]:.0f}"
        in found.sentence
    )
