"""The areas of a scheme against the areas of a mesh."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from preview.errors import SchemeFault
from preview.ramp.match import match_areas
from preview.ramp.scheme import Scheme

Load = Callable[[str], Scheme]


def test_each_area_takes_its_ramp_in_the_order_of_the_mesh(load: Load, scheme_text: str) -> None:
    scheme = load(scheme_text)
    matched = match_areas(scheme, ["boots", "coat"])
    assert matched.ramp_of_area == (scheme.ramps["plain"], scheme.ramps["oilskin"])
    assert matched.notes == ()


def test_areas_that_are_not_named_stay_in_primer_and_are_told(load: Load, scheme_text: str) -> None:
    matched = match_areas(load(scheme_text), ["coat", "rope", "boots", "glass"])
    assert [ramp is None for ramp in matched.ramp_of_area] == [False, True, False, True]
    [note] = matched.notes
    assert "rope, glass" in note
    assert "grey primer" in note


def test_elsewhere_covers_the_rest(load: Load, scheme_text: str) -> None:
    scheme = load(scheme_text.replace("boots =", "elsewhere ="))
    matched = match_areas(scheme, ["rope", "coat"])
    assert matched.ramp_of_area == (scheme.ramps["plain"], scheme.ramps["oilskin"])
    assert matched.notes == ()


def test_all_unknown_areas_are_told_at_once(load: Load, scheme_text: str) -> None:
    with pytest.raises(SchemeFault) as raised:
        match_areas(load(scheme_text), ["Coat", "boot", "hat"])
    first, second = raised.value.faults
    assert first.what == 'the mesh has no area "coat"'
    assert first.where == "storm-watch.toml, areas.coat"
    assert 'did you mean "Coat"?' in first.fix
    assert 'did you mean "boot"?' in second.fix


def test_of_very_many_areas_only_the_nearest_is_told(load: Load, scheme_text: str) -> None:
    names = [f"part {n}" for n in range(300)] + ["boot"]
    with pytest.raises(SchemeFault) as raised:
        match_areas(load(scheme_text), names)
    first, second = raised.value.faults
    assert first.fix == "fourpot areas lists them all"
    assert second.fix == 'did you mean "boot"? fourpot areas lists them all'
