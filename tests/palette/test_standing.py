"""Paints on the painters' circle: sides, tints of browns, certainty."""

from __future__ import annotations

from dataclasses import replace
from types import ModuleType

import numpy as np
import pytest

from preview.mix.circle import place_on_circle
from preview.mix.undertone import hides_undertone
from preview.optics.appearance import lab_from_reflectance
from preview.palette.standing import (
    TINT_LIGHTNESS,
    Standing,
    hue_tint_of,
    round_the_circle,
    stand_on_circle,
)
from preview.rack.defaults import surface_of
from preview.rack.load import load_rack
from preview.rack.paint import Paint, Rack
from tests.mix.test_circle import WARMTH
from tests.mix.test_measured_tints import FILMS
from tests.palette.oracle import lab_by_colour_science, mixed_by_hand
from tests.palette.racks import TWELVE, calibrated, rack_of

HARBOUR = load_rack("harbour")


def _by_name(rack: Rack) -> dict[str, Standing]:
    return {one.name: one for one in stand_on_circle(rack)}


def test_the_twelve_hues_as_paints_stand_where_their_names_say() -> None:
    for number, one in enumerate(stand_on_circle(rack_of(TWELVE))):
        turn = (one.place.wheel_deg - 30.0 * number + 180.0) % 360.0 - 180.0
        # 0.8 degrees: the swatches have eight bits
        assert abs(turn) < 0.8
        assert one.place.hue == one.name
        assert one.place.side == ("cold" if 5 <= number <= 10 else "warm")


def test_their_warmth_is_that_of_the_published_formula() -> None:
    told = [one.warmth for one in stand_on_circle(rack_of(TWELVE))]
    # 0.03: the scores stand for 8-bit colours with two decimals
    np.testing.assert_allclose(told, WARMTH, atol=0.03)


def test_all_but_browns_stand_by_their_own_hue() -> None:
    for one in stand_on_circle(HARBOUR):
        if one.kind != "brown":
            assert one.tint is None
            assert one.place == place_on_circle(one.mix.lab)


def test_a_brown_stands_by_the_hue_of_its_tint_and_keeps_its_own_chroma(
    colour_science: ModuleType,
) -> None:
    rope = _by_name(HARBOUR)["tarred rope"]
    assert rope.tint is not None
    curve = np.full(31, 0.92)
    k1, k2 = surface_of(curve, "swatch")
    white = Paint("white", curve, np.ones(31), k1, k2, "measured", "measured")
    labs = [
        lab_by_colour_science(colour_science, mixed_by_hand([(rope.paint, 1), (white, drops)]))
        for drops in (rope.tint.white_drops - 1, rope.tint.white_drops)
    ]
    # The fewest drops that make it light, and their hue
    assert labs[0][0] < TINT_LIGHTNESS <= labs[1][0]
    hue = np.degrees(np.arctan2(labs[1][2], labs[1][1])) % 360
    assert rope.place.hue_deg == pytest.approx(hue, abs=1e-4)
    assert rope.place.chroma == pytest.approx(float(np.hypot(*rope.mix.lab[1:])))
    assert abs(rope.place.hue_deg - rope.hue_deg) > 2


def test_a_black_never_turns_light_and_its_tint_ends_all_the_same() -> None:
    tint = hue_tint_of(HARBOUR.mix({"soot": 1}))
    assert tint.mix.lab[0] < TINT_LIGHTNESS
    assert tint.white_drops == 12


def test_the_place_of_a_paint_does_not_depend_on_its_neighbours() -> None:
    rope = HARBOUR.paints["tarred rope"]
    alone = stand_on_circle(Rack("alone", {"tarred rope": rope}))[0]
    assert alone.place == _by_name(HARBOUR)["tarred rope"].place


def test_certainty_is_the_paint_s_own_and_a_brown_s_that_of_its_tint() -> None:
    rope, orange = HARBOUR.paints["tarred rope"], HARBOUR.paints["rust orange"]
    measured = {
        paint.name: replace(paint, certainty="measured", origin="measured")
        for paint in (rope, orange)
    }
    found = _by_name(Rack("measured", measured))
    assert found["rust orange"].certainty == "measured"
    # How strong it is in a tint is still unknown
    assert found["tarred rope"].certainty == "estimate"
    assert _by_name(calibrated(HARBOUR))["tarred rope"].certainty == "calibrated"


def test_a_dark_swatch_hides_its_undertone_until_it_is_calibrated() -> None:
    found = _by_name(HARBOUR)
    unknown = {name for name, one in found.items() if one.undertone_unknown}
    assert unknown == {"deep sea blue", "dusk violet", "tarred rope"}
    assert not any(one.undertone_unknown for one in stand_on_circle(calibrated(HARBOUR)))


def test_a_measured_masstone_hides_its_undertone_as_a_swatch_does() -> None:
    """Measured alone, its strength in mixes is still unknown: one rule for circle, mix and ramp."""
    measured = {n: replace(p, certainty="measured") for n, p in HARBOUR.paints.items()}
    for rack in (HARBOUR, Rack("measured", measured), calibrated(HARBOUR)):
        told = {one.name for one in stand_on_circle(rack) if one.undertone_unknown}
        assert told == {name for name, paint in rack.paints.items() if hides_undertone(paint)}


def test_a_dark_neutral_may_be_a_blue() -> None:
    """Geldof et al. 2018, Prussian blue: pure it is neutral, 6 % of it in white is a blue."""
    alone, tint = (
        place_on_circle(lab_from_reflectance(FILMS[film].reflectance)) for film in ("13A", "13B")
    )
    assert alone.side == "neutral"
    assert (tint.side, tint.hue) == ("cold", "blue")
    assert tint.chroma > 30


def test_round_the_circle_goes_from_red_violet_to_violet_and_ends_with_neutrals() -> None:
    ordered = round_the_circle(stand_on_circle(HARBOUR))
    sides = [one.place.side for one in ordered]
    assert sides == sorted(sides, key=["warm", "cold", "neutral"].index)
    turned = [(one.place.wheel_deg + 45) % 360 for one in ordered if one.place.side != "neutral"]
    assert turned == sorted(turned)
    light = [one.mix.lab[0] for one in ordered if one.place.side == "neutral"]
    assert light == sorted(light, reverse=True)
