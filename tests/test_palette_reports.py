"""Circle, pairs, recipe, mix and ramp for JSON, against what can be told by hand."""

from __future__ import annotations

from types import ModuleType
from typing import Any

import numpy as np
import pytest

from preview.palette.opposites import find_opposites
from preview.palette.pairs import find_pairs
from preview.palette.recipes import find_recipes
from preview.palette.standing import round_the_circle, stand_on_circle
from preview.palette.wanted import read_colour
from preview.palette_reports import (
    circle_report,
    mix_report,
    pairs_report,
    ramp_report,
    recipe_report,
)
from preview.rack.load import load_rack
from preview.rack.paint import Rack
from preview.ramp.build import ramp_around
from preview.ramp.words import Role

POTS: dict[Role, str] = {"warm": "rust orange", "cold": "deep sea blue", "pale": "sailcloth"}


@pytest.fixture(scope="module")
def harbour() -> Rack:
    return load_rack("harbour")


def _recipe(rack: Rack, colour: str) -> dict[str, Any]:
    return recipe_report(rack, find_recipes(rack, read_colour(colour), tuple(POTS.values()), 6))


@pytest.mark.parametrize(
    ("colour", "reached", "ranked_by"),
    [("#8a4b2a", True, "ciede2000"), ("#00ff00", False, "cie1976")],
)
def test_differences_are_those_of_the_colours_told(
    harbour: Rack, colour: str, reached: bool, ranked_by: str, colour_science: ModuleType
) -> None:
    report = _recipe(harbour, colour)
    assert report["reached"] is reached
    assert report["ranked_by"] == ranked_by
    wanted = np.array(report["wanted"]["lab"])
    for answer in report["answers"]:
        lab = np.array(answer["lab"])
        # Colours are told to four places.
        assert answer["cie1976"] == pytest.approx(np.linalg.norm(lab - wanted), abs=3e-4)
        newer = float(colour_science.difference.delta_E_CIE2000(wanted, lab))
        assert answer["ciede2000"] == pytest.approx(newer, abs=3e-4)
        first = sum((answer["first"] or {}).values())
        counted = first + answer["drops_of_first"] + sum(answer["then"].values())
        assert answer["count_out"] == counted
    last = report["answers"][-1][ranked_by]
    assert last == min(answer[ranked_by] for answer in report["answers"])


def test_a_mix_is_told_by_its_drops_and_a_pot_alone_by_its_own_colour(harbour: Rack) -> None:
    report = mix_report(harbour, harbour.mix({"rust orange": 4, "deep sea blue": 2}))
    assert report["drops"] == {"rust orange": 2, "deep sea blue": 1}
    assert report["rack"] == "harbour"
    assert len(report["reflectance"]) == 31
    assert len(report["advice"]) == 1
    assert "deep sea blue" in report["advice"][0]
    alone = mix_report(harbour, harbour.mix({"deep sea blue": 1}))
    own = harbour.paints["deep sea blue"].reflectance
    np.testing.assert_allclose(alone["reflectance"], own, atol=1e-6)
    assert alone["advice"] == []


def test_a_ramp_is_told_from_the_dark_with_its_pots(harbour: Rack) -> None:
    ramp = ramp_around("ramp", harbour, POTS, {"warm": 1, "pale": 1}, 3)
    report = ramp_report(harbour, POTS, ramp)
    assert report["pots"] == POTS
    assert [step["step"] for step in report["steps"]] == ["shadow", "midtone", "highlight"]
    middle = report["steps"][1]
    assert middle["as_written"] == {"warm": 1, "pale": 1}
    assert middle["drops"] == {"rust orange": 1, "sailcloth": 1}
    lightness = [step["lab"][0] for step in report["steps"]]
    assert lightness == sorted(lightness)


def test_the_circle_tells_every_paint_once(harbour: Rack) -> None:
    standings = round_the_circle(stand_on_circle(harbour))
    report = circle_report(harbour, standings, find_opposites(standings), ("circle.png",))
    assert sorted(one["name"] for one in report["paints"]) == sorted(harbour.paints)
    assert report["pictures"] == ["circle.png"]
    for one in report["paints"]:
        lab = harbour.mix({one["name"]: 1}).lab
        assert one["chroma"] == pytest.approx(np.hypot(lab[1], lab[2]), abs=1e-3)
        assert one["lightness"] == pytest.approx(lab[0], abs=1e-3)


def test_a_pair_is_told_with_what_it_loses_on_the_way_to_grey(harbour: Rack) -> None:
    report = pairs_report(find_pairs(harbour, 5))
    assert report["pairs_told"] == len(report["pairs"]) == 5
    assert report["off_white"] == "sailcloth"
    paints = {one["name"]: one for one in report["paints"]}
    for pair in report["pairs"]:
        warm, cold = paints[pair["warm"]], paints[pair["cold"]]
        neutral = pair["most_neutral"]["chroma"]
        duller = min(warm["chroma"], cold["chroma"])
        assert pair["span"] == pytest.approx(duller - neutral, abs=2e-3)
        gap = warm["lightness"] - cold["lightness"]
        assert pair["lightness_gap"] == pytest.approx(gap, abs=2e-3)
        assert [pair["mixes_srgb"][0], pair["mixes_srgb"][-1]] == [warm["srgb"], cold["srgb"]]
        assert len(pair["chroma_left"]) == len(report["chart_drops"])
