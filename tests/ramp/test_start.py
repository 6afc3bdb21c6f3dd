"""The scheme to begin from: it loads, it rises, it covers the mesh, it says why."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from preview.errors import CannotDo
from preview.optics.appearance import lab_from_reflectance
from preview.optics.ciede2000 import ciede2000
from preview.rack.load import load_rack
from preview.ramp.advice import advise
from preview.ramp.guess import CLOTH, group_areas, read_name
from preview.ramp.levels import step_reflectance
from preview.ramp.load import load_scheme
from preview.ramp.match import match_areas
from preview.ramp.materials import COLOURS, HUES, MATERIALS
from preview.ramp.scheme import Scheme
from preview.ramp.start import begin_scheme
from preview.ramp.tray import Tray

KEEPER = [
    "skin",
    "eyes",
    "beard",
    "hat",
    "jumper",
    "trousers",
    "boots",
    "belt",
    "buckle",
    "oilskin",
    "lantern",
    "glass",
    "rope",
    "rock",
]
LISTS = {
    "keeper": KEEPER,
    "one area": ["all"],
    "as a 3D program names them": ["M_Skin.001", "Left Boot", "material_3", "Cloak", "SwordBlade"],
    "reserved words": ["shadow", "metal", "dark", "elsewhere_", "primer", "skin", "metalwork"],
    "colours": ["Beige", "Blue", "DarkBrown", "Black", "Metal_Dark", "Hair_White", "brown"],
    "hard to write": ['say "ahoy"', "back\\slash", "tab\tbed", "Öljytakki", "a.b.c", "", "#1"],
    "many": [f"part {n}" for n in range(24)],
}
# Two pots that miss each other's neutral, an off-white, no brown.
BARE = {"ochre": "#d8b02c", "moss": "#3f7a3a", "bone": "#e8dfc8"}

Begin = Callable[..., Scheme]


@pytest.fixture
def begin(tmp_path: Path) -> Begin:
    """Write a scheme to begin from into a file, and load it."""

    def started(areas: list[str], rack: str | dict[str, str] = "harbour") -> Scheme:
        if isinstance(rack, dict):
            text = "".join(f'[[paint]]\nname = "{n}"\nsrgb = "{c}"\n' for n, c in rack.items())
            (tmp_path / "own.toml").write_text(text, encoding="utf-8")
            loaded = load_rack("own", tmp_path)
        else:
            loaded = load_rack(rack)
        path = tmp_path / "start.toml"
        path.write_text(begin_scheme(areas, loaded), encoding="utf-8")
        return load_scheme(path)

    return started


@pytest.mark.parametrize("areas", LISTS.values(), ids=LISTS.keys())
@pytest.mark.parametrize("rack", ["harbour", "pigments", BARE], ids=["harbour", "pigments", "bare"])
def test_it_loads_covers_the_mesh_and_rises(
    begin: Begin, areas: list[str], rack: str | dict[str, str]
) -> None:
    scheme = begin(areas, rack)
    matched = match_areas(scheme, areas)
    assert None not in matched.ramp_of_area
    assert not [a for a in advise(scheme) if a.rule == "rising lightness"]
    assert not [a for a in advise(scheme) if a.rule == "warm and cold" and not a.fine]


def test_a_figure_has_its_shadows_and_highlights(begin: Begin) -> None:
    scheme = begin(KEEPER)
    for ramp in scheme.ramps.values():
        names = [step.name for step in ramp.steps]
        assert "shadow" in names, ramp.name
    with_highlights = [r for r in scheme.ramps.values() if len(r.steps) >= 3]
    assert len(with_highlights) >= len(scheme.ramps) - 1


def test_materials_look_like_themselves(begin: Begin) -> None:
    scheme = begin(KEEPER)
    lab = {area: scheme.ramps[ramp].midtone.mix.lab for area, ramp in scheme.areas.items()}
    hue = np.degrees(np.arctan2(lab["skin"][2], lab["skin"][1]))
    assert 30 < hue < 85
    assert 50 < lab["skin"][0] < 78
    assert lab["boots"][0] < 45
    assert lab["rope"][0] > lab["boots"][0] + 10


def test_areas_of_cloth_differ_from_each_other(begin: Begin) -> None:
    scheme = begin(KEEPER)
    cloth = [scheme.ramps[a].midtone.mix.lab for a in ("hat", "jumper", "trousers", "oilskin")]
    for one in range(4):
        for other in range(one):
            assert ciede2000(cloth[one], cloth[other]) > 5.0


def test_brown_is_left_out_only_with_a_reason(begin: Begin, tmp_path: Path) -> None:
    begin(["all"], {"red": "#a43530", "teal": "#2c7d7a", "bone": "#e8dfc8", "umber": "#553d2b"})
    text = (tmp_path / "start.toml").read_text(encoding="utf-8")
    assert "# brown: left out: warm and cold mix to a neutral (" in text
    begin(["all"], {**BARE, "umber": "#553d2b"})
    assert 'brown = "umber"' in (tmp_path / "start.toml").read_text(encoding="utf-8")
    begin(["all"], BARE)
    text = (tmp_path / "start.toml").read_text(encoding="utf-8")
    assert "# brown: there is none, and warm and cold may not mix to a neutral (" in text


def test_a_pure_white_is_taken_only_without_an_off_white(begin: Begin, tmp_path: Path) -> None:
    rack = {"ochre": "#d8b02c", "moss": "#3f7a3a", "zinc": "#fafafa"}
    assert begin(["all"], rack).pots["pale"] == "zinc"
    assert "the rack has no off-white" in (tmp_path / "start.toml").read_text(encoding="utf-8")
    assert begin(["all"], {**rack, "bone": "#e8dfc8"}).pots["pale"] == "bone"


def test_a_metal_pot_goes_to_the_metal_that_it_looks_like(begin: Begin) -> None:
    scheme = begin(["Gold", "Metal", "Metal_Dark", "skin"])
    assert scheme.pots["metal"] == "old brass"
    assert scheme.ramps[scheme.areas["Gold"]].finish == "metallic"
    for steel in ("Metal", "Metal_Dark"):
        assert scheme.ramps[scheme.areas[steel]].finish == "matt"
    assert "metal" not in begin(["Sword Blade", "skin"]).pots
    assert "metal" not in begin(["skin", "coat"]).pots


@pytest.mark.parametrize("areas", [["Lantern", "skin"], ["Brass", "Brass dark", "Brass2", "Blue"]])
def test_a_metal_is_shaded_by_glazes_and_never_mixed_with_pigments(
    begin: Begin, areas: list[str]
) -> None:
    scheme = begin(areas)
    ramps = [ramp for ramp in scheme.ramps.values() if ramp.finish == "metallic"]
    ramps += [r for n, r in scheme.ramps.items() if "brass" in n.lower() and r not in ramps]
    assert len(ramps) == sum(area not in ("skin", "Blue") for area in areas)
    for ramp in ramps:
        assert ramp.steps[-1].drops == {"metal": 1}
        for step, ground in zip(ramp.steps, ramp.steps[1:], strict=False):
            assert "metal" not in step.drops
            assert step.glaze_coats is not None
            assert step.glaze_over == ground.name
    looks = [lab_from_reflectance(step_reflectance(r, scheme.primer.reflectance)) for r in ramps]
    falls = [np.diff(lab[:, 0]) for lab in looks]
    assert all(len(fall) and fall.min() >= 3.5 for fall in falls)


def test_one_area_of_metal_has_it_as_its_midtone(begin: Begin) -> None:
    assert begin(["Lantern", "skin"]).ramps["brass"].midtone.drops == {"metal": 1}


@pytest.mark.parametrize("rack", ["harbour", "pigments"])
def test_gold_is_yellow_and_steel_is_grey(begin: Begin, rack: str) -> None:
    scheme = begin(["Gold", "Metal", "Metal_Dark", "Skin", "Blue"], rack)
    gold, steel = (scheme.ramps[scheme.areas[a]].midtone.mix.lab for a in ("Gold", "Metal"))
    assert gold[2] > 20
    assert np.hypot(*steel[1:]) < 12


@pytest.mark.parametrize("rack", ["harbour", "pigments"])
@pytest.mark.parametrize(
    ("darker", "lighter"),
    [("Metal_Dark", "Metal"), ("Dark Brown", "Brown"), ("Brown", "Brown2"), ("Boots", "Belt"),
     ("DarkGreen", "LightGreen"), ("Brass dark", "Brass")],
)  # fmt: skip
def test_variants_differ_in_value(begin: Begin, rack: str, darker: str, lighter: str) -> None:
    scheme = begin(["Skin", lighter, darker], rack)
    light = [scheme.ramps[scheme.areas[a]].midtone.mix.lab[0] for a in (darker, lighter)]
    assert abs(light[1] - light[0]) > 5.0
    if "ark" in darker:
        assert light[0] < light[1]


@pytest.mark.parametrize("rack", ["harbour", "pigments"])
@pytest.mark.parametrize("word", ["Red", "Orange", "Yellow", "Green", "Blue", "Purple", "Pink"])
def test_an_area_named_by_a_hue_looks_like_it(begin: Begin, rack: str, word: str) -> None:
    scheme = begin(["Skin", "DarkBrown", f"Coat_{word}", "Metal"], rack)
    lab = scheme.ramps[scheme.areas[f"Coat_{word}"]].midtone.mix.lab
    hues = {hue: np.array([lab[0], *COLOURS[hue][0][1:]]) for hue in HUES}
    nearest = min(hues, key=lambda hue: float(ciede2000(hues[hue], lab)))
    assert nearest == {"Purple": "violet"}.get(word, word.lower())


@pytest.mark.parametrize(
    ("areas", "rack", "cold", "hue"),
    [
        (["Beige", "Blue", "DarkBrown", "Eye", "Gold", "Metal", "Metal_Dark", "Hair_White",
          "Skin"], "harbour", "deep sea blue", (240.0, 290.0)),
        (["Brown", "Brown2", "Gold", "Hair_Black", "Purple", "Skin"], "pigments", "PV23",
         (300.0, 335.0)),
    ],
)  # fmt: skip
def test_a_cold_pot_is_chosen_for_the_hue_that_an_area_is_named_by(
    begin: Begin, areas: list[str], rack: str, cold: str, hue: tuple[float, float]
) -> None:
    scheme = begin(areas, rack)
    assert scheme.pots["cold"] == cold
    area = "Blue" if "Blue" in areas else "Purple"
    lab = scheme.ramps[scheme.areas[area]].midtone.mix.lab
    assert hue[0] < np.degrees(np.arctan2(lab[2], lab[1])) % 360 < hue[1]
    assert len(set(scheme.areas.values())) == len(areas)


def test_a_colour_out_of_reach_is_said_in_the_scheme(begin: Begin, tmp_path: Path) -> None:
    begin(["Purple", "Skin"], BARE)
    text = (tmp_path / "start.toml").read_text(encoding="utf-8")
    scheme = load_scheme(tmp_path / "start.toml")
    tray = Tray(scheme.rack, dict(scheme.pots))
    nearest = float(ciede2000(tray.recipe_lab, COLOURS["violet"][0]).min())
    assert f"# The pots cannot reach a violet: the nearest is ΔE00 {nearest:.0f}." in text
    nearest = float(ciede2000(tray.recipe_lab, MATERIALS["skin"][0]).min())
    assert f"# The pots cannot reach skin: the nearest is ΔE00 {nearest:.0f}." in text
    begin(["Green", "Skin"], BARE)
    assert "cannot reach a green" not in (tmp_path / "start.toml").read_text(encoding="utf-8")


def test_a_black_without_a_neutral_shadow_is_said_in_the_scheme(begin: Begin) -> None:
    areas = ["black", "yellow", "skin", "violet"]
    text = begin_scheme(areas, load_rack("pigments"))
    assert "# No shadow, the mid-tone is the darkest step: it is neutral, L* " in text
    steps = [step.name for step in begin(areas, "pigments").ramps["black"].steps]
    assert steps[0] == "midtone"
    assert "No shadow" not in begin_scheme(["black boots", "skin"], load_rack("harbour"))


def test_sides_and_copies_share_a_ramp_and_other_names_do_not() -> None:
    def shared(*names: str) -> int:
        return len(group_areas(names))

    assert shared("Boot.L", "Boot_Right", "boots.001") == 1
    assert shared("Sleeve.L", "Sleeve.R") == 1
    assert shared("Face", "Left Hand", "Skin.002") == 1
    assert shared("Gold", "Metal", "Metal_Dark") == 3
    assert shared("Brown", "Brown2") == 2
    assert shared("Skin", "Skin_Dark") == 2
    assert shared("part 1", "part 2") == 2


@pytest.mark.parametrize(
    ("rack", "lacking"),
    [
        ({"moss": "#3f7a3a", "bone": "#e8dfc8"}, ["warm"]),
        ({"ochre": "#d8b02c", "bone": "#e8dfc8"}, ["cold"]),
        ({"ochre": "#d8b02c", "moss": "#3f7a3a"}, ["pale"]),
        ({"soot": "#222222"}, ["warm", "cold", "pale"]),
    ],
)
def test_a_rack_that_lacks_a_role_is_told(
    begin: Begin, rack: dict[str, str], lacking: list[str]
) -> None:
    with pytest.raises(CannotDo) as raised:
        begin(["all"], rack)
    assert [f.what for f in raised.value.faults] == [
        f"the rack has no paint for the {role} pot" for role in lacking
    ]
    assert all("own.toml" in f.where and f.fix for f in raised.value.faults)


def test_the_same_input_gives_the_same_text() -> None:
    rack = load_rack("harbour")
    assert begin_scheme(KEEPER, rack) == begin_scheme(KEEPER, rack)


def test_the_rack_is_named_as_asked_for(tmp_path: Path) -> None:
    assert 'rack = "harbour"\n' in begin_scheme(["a"], load_rack("harbour"))
    assert 'rack = "my pots"\n' in begin_scheme(["a"], load_rack("harbour"), rack_word="my pots")
    copy = tmp_path / "harbour.toml"
    copy.write_text('[[paint]]\nname = "x"\nsrgb = "#d8b02c"\n', encoding="utf-8")
    with pytest.raises(CannotDo, match="cold"):
        begin_scheme(["a"], load_rack(copy))


@pytest.mark.parametrize(
    ("area", "material"),
    [
        ("skin", "skin"), ("M_Skin.001", "skin"), ("LeftHand", "skin"), ("Left Boots", "leather"),
        ("belt_buckle", "iron"), ("leather_belt", "leather"), ("hair", "hair"), ("Rocks", "rock"),
        ("oilskin", CLOTH), ("material_3", CLOTH), ("", CLOTH), ("teeth", "bone"),
        ("DarkBrown", "brown"), ("Hair_White", "white"), ("cloth blue 2", "blue"),
        ("Metal_Dark", "iron"), ("darkblue", "blue"), ("Light Green", "green"),
        ("light", "glow"), ("silver", "iron"), ("shell 12", CLOTH),
        ("sword blade", "iron"), ("Wooden Shield", CLOTH),
    ],
)  # fmt: skip
def test_a_material_is_guessed_from_the_last_word_that_tells(area: str, material: str) -> None:
    assert read_name(area).material == material
