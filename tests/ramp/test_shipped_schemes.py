"""The schemes that ship: examples that load, fit the keeper, rise, and follow their own advice."""

from __future__ import annotations

import json
import struct
from pathlib import Path

import numpy as np
import pytest

from preview.mix.neutral import most_neutral_mix
from preview.optics.appearance import lab_from_reflectance
from preview.ramp.advice import advise
from preview.ramp.levels import ramp_reflectance, step_reflectance
from preview.ramp.load import load_scheme
from preview.ramp.match import match_areas
from preview.ramp.scheme import Scheme
from preview.shipped import shipped

PATHS = sorted(shipped("schemes").glob("*.toml"))
MOST_DROPS_OF_A_STEP = 24


@pytest.fixture(params=PATHS, ids=[path.stem for path in PATHS])
def scheme(request: pytest.FixtureRequest) -> Scheme:
    """Each scheme in turn."""
    path: Path = request.param
    return load_scheme(path)


@pytest.fixture(scope="module")
def keeper_areas() -> list[str]:
    """The keeper's areas, read from the JSON of its GLB: the names of its materials."""
    data = shipped("meshes", "keeper.glb").read_bytes()
    length = struct.unpack_from("<I", data, 12)[0]
    return [material["name"] for material in json.loads(data[20 : 20 + length])["materials"]]


def lab_of(scheme: Scheme, area: str) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """CIELAB of an area's mid-tone."""
    return scheme.ramps[scheme.areas[area]].midtone.mix.lab


def test_there_are_four_options_or_more_each_with_its_own_pair() -> None:
    pairs = {
        (scheme.pots["warm"], scheme.pots["cold"]) for scheme in (load_scheme(p) for p in PATHS)
    }
    assert len(PATHS) >= 4
    assert len(pairs) == len(PATHS)


def test_one_makes_its_neutral_without_brown_and_one_takes_the_dark_concession() -> None:
    schemes = [load_scheme(path) for path in PATHS]
    without = [s for s in schemes if "brown" not in s.pots]
    assert any(
        most_neutral_mix(s.pot("warm"), s.pot("cold")).verdict == "complementary" for s in without
    )
    assert any("dark" in s.pots for s in schemes)


def test_every_area_of_the_keeper_has_its_ramp(scheme: Scheme, keeper_areas: list[str]) -> None:
    matched = match_areas(scheme, keeper_areas)
    assert None not in matched.ramp_of_area
    assert matched.notes == ()


def test_the_mesh_it_was_made_for_is_there(scheme: Scheme) -> None:
    assert [mesh.resolve() for mesh in scheme.meshes] == [shipped("meshes", "keeper.glb").resolve()]


def test_it_follows_its_own_advice(scheme: Scheme) -> None:
    # The harbour's pots are invented, so no tint of theirs can be had
    found = [a for a in advise(scheme) if a.rule != "undertone"]
    assert [advice.sentence for advice in found if not advice.fine] == []


def test_every_ramp_has_shadow_and_highlight_and_rises(scheme: Scheme) -> None:
    for ramp in scheme.ramps.values():
        lightness = lab_from_reflectance(step_reflectance(ramp, scheme.primer.reflectance))[:, 0]
        assert len(ramp.steps) >= 3, ramp.name
        assert np.all(np.diff(lightness) > 1.0), ramp.name
        levels = lab_from_reflectance(ramp_reflectance(ramp, 64, scheme.primer.reflectance))[:, 0]
        assert np.all(np.diff(levels) > -0.05), ramp.name


def test_no_step_needs_a_bucket(scheme: Scheme) -> None:
    for ramp in scheme.ramps.values():
        for step in ramp.steps:
            assert sum(step.drops.values()) <= MOST_DROPS_OF_A_STEP, (ramp.name, step.name)


def test_skin_looks_like_skin(scheme: Scheme) -> None:
    lightness, a, b = lab_of(scheme, "skin")
    assert 55 < lightness < 75
    assert 15 < np.hypot(a, b) < 38
    assert 35 < np.degrees(np.arctan2(b, a)) < 80


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("belt", "oilskin"), ("jumper", "oilskin"), ("hat", "skin"), ("beard", "skin"),
        ("beard", "jumper"), ("boots", "rock"), ("glass", "lantern"), ("lantern", "oilskin"),
        ("barnacles", "rock"),
    ],
)  # fmt: skip
def test_parts_that_touch_are_apart_in_value(scheme: Scheme, one: str, other: str) -> None:
    apart = abs(lab_of(scheme, one)[0] - lab_of(scheme, other)[0])
    assert apart > 8.0, (one, other, apart)
