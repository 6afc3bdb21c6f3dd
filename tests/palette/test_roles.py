"""What a role is, by definition, and what is said where a rack lacks one."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from preview.errors import CannotDo, UsageError
from preview.mix.calibration import calibrate
from preview.mix.circle import place_on_circle
from preview.palette.kinds import best_pale, kind_of
from preview.palette.roles import LOOKS, Candidate, cast_roles, looks_with
from preview.rack.load import load_rack
from preview.ramp.start import begin_scheme
from tests.oil_films import dilution, swatch_rack
from tests.palette.racks import rack_of

SHORES = {"ochre": "#d8b02c", "moss": "#3f7a3a", "bone": "#e8dfc8", "umber": "#553d2b"}


def test_the_demo_crew_has_every_role() -> None:
    roles = cast_roles(load_rack("harbour"))
    names = {role: [paint.name for paint in paints] for role, paints in roles.by_role.items()}
    assert names["pale"] == ["sailcloth"]
    assert names["brown"] == ["tarred rope"]
    assert names["dark"] == ["soot"]
    assert {"rust orange", "buoy red", "lamp yellow"} <= set(names["warm"])
    assert {"deep sea blue", "rock pool teal", "kelp green"} <= set(names["cold"])
    assert not any("old brass" in some for some in names.values())


def test_every_paint_has_one_role_and_the_look_of_it() -> None:
    for rack in ("harbour", "pigments"):
        roles = cast_roles(load_rack(rack))
        every = [paint.name for paints in roles.by_role.values() for paint in paints]
        assert len(every) == len(set(every))
        for role, paints in roles.by_role.items():
            for paint in paints:
                assert roles.role_of(paint.name) == role
                seen = paint if paint.tint is None else replace(paint, place=paint.tint)
                if role != "pale" or roles.off_white:
                    assert LOOKS[role].fits(seen)


def test_a_dark_pot_without_a_hue_of_its_own_is_warm_or_cold_by_its_tint(tmp_path: Path) -> None:
    roles = cast_roles(load_rack("pigments"))
    cold = {paint.name: paint for paint in roles.by_role["cold"]}
    for name in ("PB27", "PG7"):
        tint = cold[name].tint
        assert cold[name].place.chroma < 12.0
        assert tint is not None
        assert tint.chroma >= 12.0
        assert "in white blue" in cold[name].words
    # Those that show their hue in the pot keep it, and a black in white is a grey
    assert cold["PB29"].tint is None
    assert roles.role_of("PBk7") == "dark"
    stricter = cast_roles(load_rack("pigments"), looks_with(["cold.chroma=15:100"]))
    assert stricter.role_of("PB27") is None

    # Measured Prussian blue: black in the pot, and cold once a tint of it is known
    oils = swatch_rack(tmp_path)
    blue = oils.paints["13A"]
    assert cast_roles(oils).role_of("13A") == "dark"
    known = calibrate(blue, [dilution(oils, "13B")], ["tint"]).paint
    tinted = replace(oils, paints={**oils.paints, "13A": known})
    assert cast_roles(tinted).role_of("13A") == "cold"


def test_a_brown_as_dark_as_black_is_a_brown_by_its_tint() -> None:
    # Burnt umber and carbon black, swatches made up for this test: L* 25, C* 7.5 and 0.
    rack = rack_of({**SHORES, "umber": "#453832", "black": "#3a3a3a"})
    roles = cast_roles(rack)
    umber = next(paint for paint in roles.by_role["brown"] if paint.name == "umber")
    assert umber.place.chroma < 8.0 < umber.tint.chroma
    assert 40.0 <= umber.tint.hue_deg <= 85.0
    assert roles.role_of("black") == "dark"


@pytest.mark.parametrize("lightness", [79.9, 80.0, math.nextafter(80.0, 100.0), 95.0])
@pytest.mark.parametrize("chroma", [3.0, 11.0, 20.0, 20.1])
def test_an_off_white_is_one_thing_by_kind_and_by_role(lightness: float, chroma: float) -> None:
    lab = np.array([lightness, 0.0, chroma])
    paint = Candidate("bone", rack_of(SHORES).mix({"bone": 1}), lightness, place_on_circle(lab))
    is_one = lightness > 80.0 and chroma <= 20.0
    assert LOOKS["pale"].fits(paint) == is_one
    assert (kind_of(lab) == "pale") == is_one
    assert (best_pale([lab]) == 0) == is_one


def test_pure_whites_stand_in_where_there_is_no_off_white() -> None:
    white = {"ochre": "#d8b02c", "moss": "#3f7a3a", "zinc": "#fafafa"}
    roles = cast_roles(rack_of(white))
    assert [paint.name for paint in roles.by_role["pale"]] == ["zinc"]
    assert not roles.off_white
    assert cast_roles(rack_of({**white, "bone": "#e8dfc8"})).role_of("zinc") is None


def test_a_scheme_to_begin_from_takes_pots_of_these_roles() -> None:
    rack = load_rack("pigments")
    text = begin_scheme(["skin", "boots", "Coat_Blue"], rack)
    roles = cast_roles(rack)
    for role in ("warm", "cold", "pale", "brown"):
        for line in text.splitlines():
            if line.startswith(f"{role} = "):
                assert roles.role_of(line.split('"')[1]) == role


def test_all_roles_that_a_rack_lacks_are_told_with_the_nearest_paint() -> None:
    with pytest.raises(CannotDo) as raised:
        cast_roles(rack_of({"mud": "#6a5a50", "slate": "#4c5a66"}))
    assert [fault.what for fault in raised.value.faults] == [
        f"the rack has no paint for the {role} pot" for role in ("warm", "cold", "pale")
    ]
    assert '"mud" comes nearest' in raised.value.faults[0].fix
    assert '"slate" comes nearest' in raised.value.faults[1].fix


def test_roles_can_be_defined_otherwise() -> None:
    looks = looks_with(["cold.chroma=5:100", "brown.hue=350:20"])
    assert looks["cold"].chroma == (5.0, 100.0)
    assert looks["brown"].hue == (350.0, 380.0)
    assert looks["warm"] == LOOKS["warm"]
    with pytest.raises(CannotDo, match="chroma 60 or more"):
        cast_roles(rack_of(SHORES), looks_with(["cold.chroma=60:100"]))
    red_brown = rack_of({**SHORES, "liver": "#59363f"})
    assert cast_roles(red_brown, looks).role_of("liver") == "brown"
    assert cast_roles(red_brown, looks_with([])).role_of("liver") != "brown"


def test_definitions_that_cannot_be_are_refused_all_at_once() -> None:
    with pytest.raises(UsageError) as raised:
        looks_with(["borwn.hue=1:2", "brown.heu=1:2", "brown.hue=red", "pale.lightness=90:80"])
    assert len(raised.value.faults) == 4
    assert 'did you mean "brown"?' in raised.value.faults[0].fix
    assert 'did you mean "hue"?' in raised.value.faults[1].fix
