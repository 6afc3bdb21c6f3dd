"""Three meanings of opposite, each against a plain search."""

from __future__ import annotations

from types import ModuleType

import numpy as np
import pytest

from preview.mix.neutral import MOST_DROPS
from preview.palette.opposites import find_opposites
from preview.palette.options import MAYBE_NEUTRAL
from preview.palette.standing import stand_on_circle
from preview.rack.load import load_rack
from preview.rack.paint import Rack
from tests.palette.oracle import lab_by_colour_science, mixed_by_hand, two_part_ratios
from tests.palette.racks import TWELVE, rack_of

HARBOUR = load_rack("harbour")


# Opposite on the circle of twelve hues, as Itten's circle teaches (O'Connor, The Dimensions of
# Colour, 7.2: red and green, yellow and violet, blue and orange)
TAUGHT = [("red", "green"), ("yellow", "violet"), ("blue", "orange")]
# CIELAB hue of the same swatches: what lies nearest to 180° from each
SEEN = {"red": "blue-green", "yellow": "blue", "blue": "yellow"}


@pytest.mark.parametrize(("one", "other"), [*TAUGHT, *[pair[::-1] for pair in TAUGHT]])
def test_across_the_circle_is_what_painters_teach(one: str, other: str) -> None:
    found = {o.name: o for o in find_opposites(stand_on_circle(rack_of(TWELVE)))}[one].circle
    assert found is not None
    assert found.name == other
    # 1.4 degrees: two swatches of eight bits
    assert found.off_deg < 1.4


@pytest.mark.parametrize("one", SEEN)
def test_across_in_cielab_is_another_paint(one: str, colour_science: ModuleType) -> None:
    hues = {}
    for name, text in TWELVE.items():
        xyz = colour_science.sRGB_to_XYZ(colour_science.notation.HEX_to_RGB(text))
        hues[name] = float(colour_science.Lab_to_LCHab(colour_science.XYZ_to_Lab(xyz))[2])
    off = {name: abs((hue - hues[one]) % 360 - 180) for name, hue in hues.items() if name != one}
    best = min(off, key=lambda name: off[name])
    assert best == SEEN[one]
    found = {o.name: o for o in find_opposites(stand_on_circle(rack_of(TWELVE)))}[one].cielab
    assert found is not None
    assert found.name == best
    assert found.off_deg == pytest.approx(off[best], abs=0.3)


@pytest.mark.parametrize("name", ["buoy red", "kelp green"])
def test_mixing_to_a_neutral_is_the_least_chroma_of_all_whole_drops(
    name: str, colour_science: ModuleType
) -> None:
    """A plain loop over all others and all ratios, colours by colour-science."""
    one = HARBOUR.paints[name]
    others = [
        "rust orange", "buoy red", "lamp yellow", "anemone pink", "weathered skin",
        "deep sea blue", "rock pool teal", "kelp green", "dusk violet", "slate", "tarred rope",
    ]  # fmt: skip
    least = {}
    for other in set(others) - {name}:
        for drops in two_part_ratios(MOST_DROPS):
            parts = [(one, drops[0]), (HARBOUR.paints[other], drops[1])]
            lab = lab_by_colour_science(colour_science, mixed_by_hand(parts))
            least[other, drops] = (float(np.hypot(lab[1], lab[2])), lab)
    best = min(least, key=lambda key: least[key][0])
    found = {o.name: o for o in find_opposites(stand_on_circle(HARBOUR))}[name].mixing
    assert found is not None
    assert (found.name, found.neutral.drops) == best
    chroma, lab = least[best]
    assert found.neutral.chroma == pytest.approx(chroma, abs=1e-3)
    assert found.neutral.lightness == pytest.approx(lab[0], abs=1e-3)
    hue = np.degrees(np.arctan2(lab[2], lab[1])) % 360
    assert found.neutral.hue_deg == pytest.approx(hue, abs=0.1)


def test_pale_and_neutral_pots_are_nobody_s_opposite() -> None:
    found = find_opposites(stand_on_circle(HARBOUR))
    apart = {"sailcloth", "whitewash", "soot"}
    assert {o.name for o in found} == set(HARBOUR.paints) - apart
    for o in found:
        for across in (o.circle, o.cielab, o.mixing):
            assert across is None or across.name not in {*apart, o.name}


def test_a_metallic_paint_stands_across_but_no_mix_of_it_is_predicted() -> None:
    found = {o.name: o for o in find_opposites(stand_on_circle(HARBOUR))}
    assert found["old brass"].circle is not None
    assert found["old brass"].mixing is None
    assert all(o.mixing is None or o.mixing.name != "old brass" for o in found.values())


def test_two_paints_of_one_hue_are_no_opposites_in_any_meaning() -> None:
    found = find_opposites(stand_on_circle(rack_of({"rust": "#b4572b", "same": "#b4572b"})))
    for o in found:
        assert (o.circle, o.cielab, o.mixing) == (None, None, None)


def test_without_a_cold_pot_nothing_mixes_to_a_neutral() -> None:
    warm = ("rust orange", "buoy red", "lamp yellow")
    found = find_opposites(
        stand_on_circle(Rack("warm", {name: HARBOUR.paints[name] for name in warm}))
    )
    assert [o.mixing for o in found] == [None] * 3
    for o in find_opposites(stand_on_circle(HARBOUR)):
        assert o.mixing is None or o.mixing.neutral.chroma <= MAYBE_NEUTRAL


@pytest.mark.parametrize("swatches", [{"rust": "#b4572b"}, {"grey": "#808080"}, {}])
def test_nothing_stands_opposite_where_there_is_nothing_else(swatches: dict[str, str]) -> None:
    for o in find_opposites(stand_on_circle(rack_of(swatches))):
        assert (o.circle, o.cielab, o.mixing) == (None, None, None)
