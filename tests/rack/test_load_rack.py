"""Racks that are right: where they are found, and what a paint becomes."""

from __future__ import annotations

import shlex
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from preview.errors import RackFault
from preview.optics.appearance import lab_from_reflectance
from preview.optics.ciede2000 import ciede2000
from preview.optics.srgb_iec61966 import lab_from_hex
from preview.rack.find import find_rack, rack_as_typed
from preview.rack.load import load_rack
from preview.rack.paint import Paint
from preview.shipped import shipped

# Colour Index names of pigments that hold lead, arsenic, mercury, cadmium, cobalt or chromate
POISONS = {
    *("PW1", "PY34", "PY35", "PY37", "PY39", "PY40", "PY46", "PO20", "PO21", "PR103", "PR104"),
    *("PR105", "PR106", "PR108", "PR113", "PB28", "PB35", "PB36", "PG14", "PG19", "PG21", "PG22"),
    *("PG26", "PG50", "PV14", "PV47", "PV49", "PY31", "PY32", "PY36"),
}


def _rack(folder: Path, text: str, name: str = "mine.toml") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def _paint(folder: Path, text: str) -> Paint:
    """The one paint of a rack."""
    rack = load_rack(_rack(folder, f'[[paint]]\nname = "it"\n{text}\n'))
    return rack.paints["it"]


@pytest.mark.parametrize("name", ["harbour", "pigments"])
def test_shipped_racks_load_and_say_that_they_are_guesses(name: str) -> None:
    rack = load_rack(name)
    assert rack.name == name
    assert rack.path == shipped("shared", "racks") / f"{name}.toml"
    assert rack.title
    assert 12 <= len(rack.paints) <= 26
    for paint in rack.paints.values():
        assert paint.origin == "guess"
        assert paint.certainty == "estimate"


def test_shipped_pigments_are_single_and_none_is_known_as_acutely_toxic() -> None:
    for paint in load_rack("pigments").paints.values():
        (pigment,) = paint.pigments
        assert pigment not in POISONS
        assert paint.name.startswith(pigment)
        assert "memory" in paint.note
    assert load_rack("harbour").paints["old brass"].finish == "metallic"


def test_a_rack_is_found_beside_the_scheme_then_in_folders_then_among_the_shipped(
    tmp_path: Path,
) -> None:
    beside, folder = tmp_path / "beside", tmp_path / "racks"
    beside.mkdir()
    folder.mkdir()
    text = '[[paint]]\nname = "it"\nsrgb = "#808080"\n'
    assert load_rack("harbour", beside, [folder]).path == find_rack("harbour")
    _rack(folder, text, "harbour.toml")
    assert load_rack("harbour", beside, [folder]).path == folder / "harbour.toml"
    _rack(beside, text, "harbour.toml")
    assert load_rack("harbour", beside, [folder]).path == beside / "harbour.toml"
    assert load_rack("harbour", beside / "scheme.toml").path == beside / "harbour.toml"
    assert load_rack("harbour.toml", beside).path == beside / "harbour.toml"
    assert load_rack(beside / "harbour.toml").path == beside / "harbour.toml"


def test_a_bare_name_is_found_in_the_current_folder_where_no_scheme_asks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    text = '[[paint]]\nname = "it"\nsrgb = "#808080"\n'
    _rack(tmp_path, text, "my-shelf.toml")
    # A scheme and what is no ordinary file are no racks
    _rack(tmp_path, 'title = "a scheme"\n', "harbour.toml")
    (tmp_path / "folder.toml").mkdir()
    assert load_rack("my-shelf").path == Path("my-shelf.toml")
    assert load_rack("harbour").path == shipped("shared", "racks") / "harbour.toml"
    with pytest.raises(RackFault, match='did you mean "my-shelf"') as caught:
        load_rack("my-shelv")
    told = caught.value.faults[0]
    assert "the current folder" in told.where
    assert told.fix.endswith('valid: "harbour", "my-shelf", "pigments"')
    (tmp_path / "elsewhere").mkdir()
    with pytest.raises(RackFault, match="no rack"):
        load_rack("my-shelf", tmp_path / "elsewhere" / "scheme.toml")


@pytest.mark.parametrize("place", ["", "shelves", "wet shelf"])
def test_a_rack_as_typed_finds_it_again(
    place: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / place).mkdir(exist_ok=True)
    file = _rack(tmp_path / place, '[[paint]]\nname = "it"\nsrgb = "#808080"\n', "my rack.toml")
    for given in (file, file.relative_to(tmp_path)):
        (word,) = shlex.split(rack_as_typed(load_rack(given)))
        assert load_rack(word).paints.keys() == {"it"}
        assert (word == "my rack") == (not place)
    assert rack_as_typed(load_rack("harbour")) == "harbour"
    # A rack of the same name in the current folder stands before a shipped one
    _rack(tmp_path / place, '[[paint]]\nname = "it"\nsrgb = "#808080"\n', "harbour.toml")
    (word,) = shlex.split(rack_as_typed(load_rack(tmp_path / place / "harbour.toml")))
    assert load_rack(word).paints.keys() == {"it"}


def test_everything_a_paint_may_say_is_kept(tmp_path: Path) -> None:
    paint = _paint(
        tmp_path,
        """
        srgb = "#8a4b2f"
        pigments = ["PBr7", "PW6"]
        hiding = "semi"
        finish = "gloss"
        stock_ml = 17
        origin = "guess"
        note = "bottom shelf"
        """,
    )
    assert paint.pigments == ("PBr7", "PW6")
    assert (paint.hiding, paint.finish, paint.origin) == ("semi", "gloss", "guess")
    assert (paint.stock_ml, paint.note, paint.certainty) == (17.0, "bottom shelf", "estimate")


@pytest.mark.parametrize(
    ("text", "scattering"),
    [
        ('srgb = "#8a4b2f"', 0.35),
        ('srgb = "#8a4b2f"\nhiding = "unknown"', 0.35),
        ('srgb = "#8a4b2f"\nhiding = "opaque"', 0.5),
        ('srgb = "#8a4b2f"\nhiding = "semi"', 0.25),
        ('srgb = "#8a4b2f"\nhiding = "transparent"', 0.1),
        ('srgb = "#f4f3ee"\nhiding = "semi"', 1.0),
        ('srgb = "#e6dcc4"', 1.0),
        ('srgb = "#ffff80"', 0.35),
        ('srgb = "#bbbbbb"', 0.35),
    ],
)
def test_scattering_where_nothing_is_calibrated(
    tmp_path: Path, text: str, scattering: float
) -> None:
    np.testing.assert_array_equal(_paint(tmp_path, text).scattering, scattering)


def test_calibrated_scattering_is_read_and_said(tmp_path: Path) -> None:
    curve = _paint(tmp_path, 'srgb = "#8a4b2f"\nscattering = [-1.0, 0.5, 0.3]')
    assert curve.certainty == "calibrated"
    assert curve.calibrated
    # log S = p0 + p1 t + p2 (t² - 1/3) at t = -1, 0, 1
    expected = np.exp([-1.0 - 0.5 + 0.2, -1.0 - 0.1, -1.0 + 0.5 + 0.2])
    np.testing.assert_allclose(curve.scattering[[0, 15, 30]], expected)
    bands = _paint(tmp_path, f'srgb = "#8a4b2f"\nscattering = {[0.2] * 31}')
    np.testing.assert_array_equal(bands.scattering, 0.2)


def test_a_swatch_gives_its_colour_back(tmp_path: Path) -> None:
    paint = _paint(tmp_path, 'srgb = "#8A4B2F"')
    assert ciede2000(lab_from_reflectance(paint.reflectance), lab_from_hex("#8a4b2f")) < 0.02


@pytest.mark.parametrize(("white", "observer"), [("D65", 2), ("D65", 10), ("D50", 2), ("D50", 10)])
def test_lab_under_either_white_and_observer(
    tmp_path: Path, colour_science: ModuleType, white: str, observer: int
) -> None:
    """The curve has the Lab asked for, by colour-science's own computation."""
    lab = [52.0, 31.0, 24.0]
    paint = _paint(tmp_path, f'lab = {lab}\nwhite = "{white}"\nobserver = {observer}')
    names = {2: "CIE 1931 2 Degree Standard Observer", 10: "CIE 1964 10 Degree Standard Observer"}
    cmfs = colour_science.MSDS_CMFS[names[observer]]
    lamp = colour_science.SDS_ILLUMINANTS[white]
    shape = colour_science.SpectralShape(400, 700, 10)
    with colour_science.utilities.suppress_warnings(colour_runtime_warnings=True):
        xyz, light = (
            colour_science.sd_to_XYZ(
                colour_science.SpectralDistribution(curve, shape), cmfs, lamp, method="ASTM E308"
            )
            for curve in (paint.reflectance, np.ones(31))
        )
    got = colour_science.XYZ_to_Lab(xyz / light[1], colour_science.XYZ_to_xy(light))
    assert ciede2000(got, lab) < 0.02


def test_lab_defaults_to_d65_and_2_degrees(tmp_path: Path) -> None:
    paint = _paint(tmp_path, "lab = [52, 31, 24]")
    assert ciede2000(lab_from_reflectance(paint.reflectance), [52, 31, 24]) < 0.02
    assert paint.origin == "swatch"


@pytest.mark.parametrize("colour", ["#000000", "#ffffff", "#0000ff", "#ffff00", "#010203"])
def test_swatches_at_the_ends_of_the_cube_load(tmp_path: Path, colour: str) -> None:
    paint = _paint(tmp_path, f'srgb = "{colour}"')
    assert np.all((paint.reflectance > 0) & (paint.reflectance <= 1))
    assert paint.surface_k1 < paint.reflectance.min()
    assert 0.6 <= paint.surface_k2 < 1
