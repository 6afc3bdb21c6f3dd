"""Racks that are wrong: one clear message for each slip, all of them at once."""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pytest

from preview.errors import RackFault
from preview.rack.load import load_rack
from preview.rack.text_file import MOST_BYTES


def _faults(folder: Path, text: str) -> str:
    """What is said about a rack."""
    path = folder / "rack.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(RackFault) as caught:
        load_rack(path)
    assert caught.value.exit_code == 3
    return str(caught.value)


def _paint(*lines: str) -> str:
    return "\n".join(["[[paint]]", 'name = "bone white"', *lines, ""])


def test_all_faults_are_told_at_once_each_with_its_place(tmp_path: Path) -> None:
    said = _faults(
        tmp_path,
        """
        titel = "Mine"
        [[paint]]
        name = "bone white"
        srgb = "#f4f3e"
        [[paint]]
        name = "bone white"
        srgb = "#808080"
        hiding = "opake"
        [[paint]]
        srgb = "#808080"
        stock_ml = -3
        sheen = "matt"
        """,
    )
    assert 'unknown key "titel"' in said
    assert 'did you mean "title"' in said
    assert 'rack.toml, paint[1] "bone white"' in said
    assert '"#f4f3e" is no colour' in said
    assert "paint[1] has the same name" in said
    assert 'hiding cannot be "opake"' in said
    assert 'did you mean "opaque"' in said
    assert "rack.toml, paint[3]" in said
    assert "a paint needs a name" in said
    assert "stock_ml" in said
    assert 'unknown key "sheen"' in said


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ([], "no colour is given"),
        (['srgb = "#808080"', "lab = [50, 0, 0]"], "srgb and lab are both given"),
        (["srgb = 808080"], "srgb must be a text"),
        (['srgb = "grey"'], "no colour of the form"),
        (["lab = [50, 0]"], "lab must be a list of 3 numbers"),
        (["lab = [50, 0, nan]"], "lab must be a list of 3 numbers"),
        (["lab = [50, 0, true]"], "lab must be a list of 3 numbers"),
        (["lab = [5, 100, 100]"], "no paint can have the colour"),
        (["lab = [-5, 0, 0]"], "no paint can have the colour"),
        (["lab = [140, 0, 0]"], "no paint can have the colour"),
        (["lab = [1e11, 1e11, -1e11]"], "no paint can have the colour"),
        (["lab = [50, 0, 0]", 'white = "d65"'], 'did you mean "D65"'),
        (["lab = [50, 0, 0]", "observer = 5"], "observer must be 2 or 10"),
        (['srgb = "#808080"', 'white = "D50"'], "white goes with lab"),
        (['srgb = "#808080"', 'sample = "A1"'], "sample goes with reflectance"),
        (['srgb = "#808080"', 'finish = "shiny"'], 'finish cannot be "shiny"'),
        (['srgb = "#808080"', 'origin = "bought"'], "origin cannot be"),
        (['srgb = "#808080"', 'pigments = "PB29"'], "pigments must be a list"),
        (['srgb = "#808080"', "stock_ml = inf"], "stock_ml must be a number"),
        (['srgb = "#808080"', "scattering = [0.5]"], "scattering must be a list of 3 or 31"),
        (['srgb = "#808080"', "scattering = [900, 0, 0]"], "scattering must be three numbers"),
        (['srgb = "#808080"', f"scattering = {[0.0] * 31}"], "scattering must be three numbers"),
        (["reflectance = 5"], "reflectance must be a text"),
        (['reflectance = "bone.csv"'], "there is no such reflectance file"),
        (['reflectance = "."'], "a folder is no reflectance file"),
    ],
)
def test_each_slip_of_a_paint(tmp_path: Path, lines: list[str], expected: str) -> None:
    said = _faults(tmp_path, _paint(*lines))
    assert expected in said
    assert 'rack.toml, paint[1] "bone white"' in said


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", "at least one paint"),
        ("paint = 3", "at least one paint"),
        ("paint = [1, 2]", "a paint must be a table"),
        ('[paint]\nname = "x"', "at least one paint"),
        ('[[paint]]\nname = ""\nsrgb = "#808080"', "cannot be a name"),
        ('[[paint]]\nname = "a=b"\nsrgb = "#808080"', "cannot be a name"),
        ('[[paint]]\nname = 7\nsrgb = "#808080"', "name must be a text"),
        ("this is not TOML", "not valid TOML"),
        ("a = " + "[" * 5000, "not valid TOML"),
    ],
)
def test_each_slip_of_a_file(tmp_path: Path, text: str, expected: str) -> None:
    assert expected in _faults(tmp_path, text)


def test_an_unknown_rack_is_told_with_the_nearest(tmp_path: Path) -> None:
    with pytest.raises(RackFault, match='did you mean "harbour"'):
        load_rack("harbor", tmp_path)
    with pytest.raises(RackFault, match="no rack"):
        load_rack("a\0b")
    with pytest.raises(RackFault, match="no rack"):
        load_rack("x" * 5000)


def test_a_folder_binary_junk_a_huge_file_and_other_encodings_are_refused(tmp_path: Path) -> None:
    with pytest.raises(RackFault, match="a folder is no rack file"):
        load_rack(tmp_path)
    junk = tmp_path / "junk.toml"
    junk.write_bytes(np.random.default_rng(1).bytes(4096))
    with pytest.raises(RackFault, match="not UTF-8"):
        load_rack(junk)
    junk.write_bytes(b"\0" * 100)
    with pytest.raises(RackFault, match="binary"):
        load_rack(junk)
    junk.write_text('title = "caf\u00e9"', encoding="latin-1")
    with pytest.raises(RackFault, match="UTF-8"):
        load_rack(junk)
    with junk.open("wb") as stream:
        stream.truncate(MOST_BYTES + 1)
    with pytest.raises(RackFault, match="too large"):
        load_rack(junk)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_a_pipe_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.toml")
    with pytest.raises(RackFault, match="no ordinary file"):
        load_rack(tmp_path / "pipe.toml")


def test_a_byte_order_mark_and_windows_line_ends_are_fine(tmp_path: Path) -> None:
    path = tmp_path / "rack.toml"
    path.write_bytes(b"\xef\xbb\xbf" + _paint('srgb = "#808080"').replace("\n", "\r\n").encode())
    assert list(load_rack(path).paints) == ["bone white"]
