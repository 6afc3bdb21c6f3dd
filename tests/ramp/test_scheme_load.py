"""What a scheme file without faults becomes: recipes, defaults, what steps build on."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from preview.ramp.build import default_begins
from preview.ramp.load import load_scheme
from preview.ramp.scheme import Scheme

Load = Callable[[str], Scheme]


def test_the_whole_scheme_is_read(load: Load, scheme_text: str) -> None:
    scheme = load(scheme_text)
    assert scheme.title == "Storm watch"
    assert scheme.rack.name in ("quay", "Quay")
    assert scheme.primer.name == "grey"
    assert list(scheme.ramps) == ["oilskin", "plain"]
    assert scheme.areas == {"coat": "oilskin", "boots": "plain"}
    assert scheme.elsewhere is None
    oilskin = scheme.ramps["oilskin"]
    assert [step.name for step in oilskin.steps] == [
        "shadow", "midtone", "highlight1", "highlight2",
    ]  # fmt: skip
    assert [step.begins for step in oilskin.steps] == [0.0, 0.35, 0.7, 0.9]
    assert (oilskin.edges, oilskin.finish) == ("blended", "satin")
    assert scheme.paint("warm").name == "rust orange"


def test_one_drop_of_a_mix_counts_one_drop(load: Load, scheme_text: str) -> None:
    oilskin = load(scheme_text).ramps["oilskin"]
    # (2 * (3 warm + 1 cold) / 4 + 1 pale) / 3, and (1 * (3 + 1) / 4 + 2 pale) / 3, worked by hand.
    assert dict(oilskin.step("midtone").mix.recipe) == {"rust orange": 3, "deep sea blue": 1}
    assert dict(oilskin.step("highlight1").mix.recipe) == {
        "rust orange": 3, "deep sea blue": 1, "sailcloth": 2,
    }  # fmt: skip
    assert dict(oilskin.step("highlight2").mix.recipe) == {
        "rust orange": 3, "deep sea blue": 1, "sailcloth": 8,
    }  # fmt: skip
    assert oilskin.step("highlight2").drops == {"midtone": 1, "pale": 2}


def test_a_step_mixed_on_looks_like_its_flattened_recipe(load: Load, scheme_text: str) -> None:
    scheme = load(scheme_text)
    for step in scheme.ramps["oilskin"].steps:
        flat = scheme.rack.mix(step.mix.recipe)
        np.testing.assert_allclose(step.mix.reflectance, flat.reflectance, rtol=1e-9)


def test_order_and_scale_of_drops_change_nothing(load: Load, scheme_text: str) -> None:
    plain = load(scheme_text).ramps["oilskin"]
    turned = scheme_text.replace("warm = 3, cold = 1", "cold = 4, warm = 12")
    turned = turned.replace("midtone = 2, pale = 1", "pale = 3, midtone = 6")
    other = load(turned).ramps["oilskin"]
    for a, b in zip(plain.steps, other.steps, strict=True):
        assert a.mix.recipe == b.mix.recipe
        np.testing.assert_allclose(a.mix.reflectance, b.mix.reflectance, rtol=1e-12)


def test_order_of_keys_changes_nothing(load: Load) -> None:
    head = 'rack = "quay"\n[pots]\n'
    one = 'warm = "rust orange"\ncold = "deep sea blue"\n[ramps.a]\n'
    two = 'cold = "deep sea blue"\nwarm = "rust orange"\n[ramps.a]\n'
    steps = ["shadow = { midtone = 1, cold = 2 }", "midtone = { warm = 2, cold = 1 }"]
    a = load(head + one + "\n".join(steps) + "\n[areas]\nx = 'a'").ramps["a"]
    b = load(head + two + "\n".join(reversed(steps)) + "\n[areas]\nx = 'a'").ramps["a"]
    assert [s.name for s in a.steps] == [s.name for s in b.steps] == ["shadow", "midtone"]
    assert [s.mix.recipe for s in a.steps] == [s.mix.recipe for s in b.steps]


def test_a_step_may_build_on_a_later_one(load: Load, scheme_text: str) -> None:
    text = scheme_text.replace("cold = 2, brown = 1", "midtone = 1, cold = 1")
    assert dict(load(text).ramps["oilskin"].step("shadow").mix.recipe) == {
        "rust orange": 3, "deep sea blue": 5,
    }  # fmt: skip


def test_steps_of_every_kind_have_their_names(load: Load, scheme_text: str) -> None:
    text = scheme_text.replace(
        "midtone = { brown = 1 }",
        "deep = { cold = 1 }\nshadow = { deep = 1, brown = 1 }\nmidtone = { brown = 1 }\n"
        "highlight = { midtone = 1, pale = 1 }",
    )
    plain = load(text).ramps["plain"]
    assert [step.name for step in plain.steps] == ["deep", "shadow", "midtone", "highlight"]
    assert plain.midtone.name == "midtone"
    with pytest.raises(KeyError):
        plain.step("highlight1")


def test_a_glaze_keeps_its_coats_and_ground(load: Load, scheme_text: str) -> None:
    text = scheme_text.replace("cold = 2, brown = 1", 'cold = 2, glaze = 0.5, over = "midtone"')
    shadow = load(text).ramps["oilskin"].step("shadow")
    assert (shadow.glaze_coats, shadow.glaze_over) == (0.5, "midtone")
    assert load(text).ramps["oilskin"].midtone.glaze_coats is None


def test_the_finish_is_that_of_the_main_paint_unless_said(load: Load, scheme_text: str) -> None:
    text = scheme_text.replace('brown = "tarred rope"', 'brown = "tarred rope"\nmetal = "tin"')
    text = text.replace("midtone = { brown = 1 }", "midtone = { metal = 2, brown = 1 }")
    assert load(text).ramps["plain"].finish == "metallic"
    assert load(scheme_text).ramps["plain"].finish == "matt"


def test_a_freed_place_may_go_to_an_accent(load: Load, scheme_text: str) -> None:
    text = scheme_text.replace('pale = "sailcloth"', 'accent = "buoy green"')
    text = text.replace("pale =", "accent =")
    assert set(load(text).pots) == {"warm", "cold", "brown", "accent"}


def test_dark_and_metal_stand_beside_the_four(load: Load, scheme_text: str) -> None:
    text = scheme_text.replace("[ramps.oilskin]", 'dark = "soot"\nmetal = "tin"\n[ramps.oilskin]')
    assert len(load(text).pots) == 6


def test_elsewhere_and_the_hints_are_read(load: Load, scheme_text: str, tmp_path: Path) -> None:
    text = scheme_text.replace("boots =", "elsewhere =")
    text = 'mesh = ["body.stl", "hat.stl"]\nmarks = "keeper.marks.toml"\nnote = "wet"\n' + text
    scheme = load(text)
    assert scheme.areas == {"coat": "oilskin"}
    assert scheme.elsewhere == "plain"
    assert scheme.meshes == (tmp_path / "body.stl", tmp_path / "hat.stl")
    assert scheme.marks == tmp_path / "keeper.marks.toml"
    assert scheme.note == "wet"


def test_without_a_title_the_file_gives_it(load: Load, scheme_text: str) -> None:
    assert load(scheme_text.replace('title = "Storm watch"', "")).title == "storm-watch"


def test_an_area_may_have_any_name(load: Load, scheme_text: str) -> None:
    scheme = load(scheme_text.replace("boots =", '"Left boot.001" = "plain"\nmetal ='))
    assert list(scheme.areas) == ["coat", "Left boot.001", "metal"]


@pytest.mark.parametrize(
    ("primer", "lightness"), [("white", 94), ("grey", 57), ("black", 22), ("#8a3030", 33.5)]
)
def test_primers_have_their_lightness(
    load: Load, scheme_text: str, primer: str, lightness: float
) -> None:
    from preview.optics.appearance import lab_from_reflectance

    scheme = load(scheme_text.replace('"grey"', f'"{primer}"'))
    lab = lab_from_reflectance(scheme.primer.reflectance)
    assert lab[0] == pytest.approx(lightness, abs=1.0)


def test_a_paint_of_the_rack_may_be_the_primer(load: Load, scheme_text: str) -> None:
    scheme = load(scheme_text.replace('"grey"', '"soot"'))
    np.testing.assert_array_equal(scheme.primer.reflectance, scheme.rack.paints["soot"].reflectance)


def test_a_rig_by_name_or_by_numbers(load: Load, scheme_text: str) -> None:
    usual = load(scheme_text).rig
    assert load(f'rig = "{usual.name}"\n' + scheme_text).rig == usual
    own = load(scheme_text + f'\n[rig]\nlike = "{usual.name}"\nkey_azimuth_deg = -40').rig
    assert own.key_azimuth_deg == -40
    assert own.sky == usual.sky


def test_racks_are_found_in_the_folders_given(
    tmp_path: Path, scheme_text: str, write: Callable[[str], Path]
) -> None:
    path = write(scheme_text)
    elsewhere = tmp_path / "racks"
    elsewhere.mkdir()
    (tmp_path / "quay.toml").rename(elsewhere / "quay.toml")
    assert load_scheme(path, racks=[elsewhere]).rack.paints["soot"]


@pytest.mark.parametrize(
    "names",
    [
        ("midtone",),
        ("shadow", "midtone"),
        ("deep", "shadow", "midtone", "highlight"),
        ("shadow", "midtone", *(f"highlight{n}" for n in range(1, 9))),
    ],
)
def test_default_tones_rise_from_0_and_leave_room_at_the_top(names: tuple[str, ...]) -> None:
    begins = default_begins(names)
    assert len(begins) == len(names)
    assert begins[0] == 0.0
    assert all(a < b for a, b in pairwise(begins))
    assert begins[-1] < 1.0


def test_the_defaults_are_those_of_the_usual_ramp() -> None:
    assert default_begins(("shadow", "midtone", "highlight1", "highlight2")) == (
        0.0, 0.35, 0.7, 0.9,
    )  # fmt: skip
