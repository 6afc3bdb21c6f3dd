"""The colours that pots are held against."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from preview.errors import FileFault, UsageError
from preview.optics.ciede2000 import ciede2000
from preview.optics.srgb_iec61966 import hex_from_lab, lab_from_hex
from preview.palette.roles import LOOKS
from preview.palette.targets import brown_colours, by_rule, grey_colours, read_targets


def test_the_list_is_what_its_rule_says() -> None:
    lab = by_rule().lab
    assert len(lab) == 110
    chroma, hue = np.hypot(lab[:, 1], lab[:, 2]), np.degrees(np.arctan2(lab[:, 2], lab[:, 1]))
    assert set(np.round(chroma, 6)) == {12.0, 28.0}
    assert set(np.round(hue % 360.0, 6) % 360.0) == {30.0 * k for k in range(12)}
    assert set(lab[:, 0]) == {25.0, 40.0, 55.0, 70.0, 85.0}


def test_a_display_can_show_all_of_it_and_no_two_of_it_are_near() -> None:
    lab = by_rule().lab
    for one in lab:
        assert ciede2000(lab_from_hex(hex_from_lab(one)), one) < 1.0
    apart = ciede2000(lab[:, None], lab[None]) + 99.0 * np.eye(len(lab))
    assert apart.min() > 4.0


def test_browns_have_the_look_of_a_brown() -> None:
    look = LOOKS["brown"]
    for lightness, a, b in brown_colours():
        assert look.lightness[0] <= lightness <= look.lightness[1]
        assert look.chroma[0] <= np.hypot(a, b) <= look.chroma[1]
        assert look.hue[0] <= np.degrees(np.arctan2(b, a)) <= look.hue[1]
    assert not grey_colours()[:, 1:].any()


def test_ones_own_colours_come_from_words_and_files(tmp_path: Path) -> None:
    path = tmp_path / "sea.txt"
    path.write_text("// of the sea\n#25425f  deep\n\n#2c7d7a // pool\n", encoding="utf-8")
    read = read_targets(["#8a4b2f, #fff", str(path)])
    expected = [lab_from_hex(word) for word in ("#8a4b2f", "#fff", "#25425f", "#2c7d7a")]
    np.testing.assert_allclose(read.lab, expected)
    assert read.source == "4 colours of your own"


def test_what_is_no_colour_is_told_all_at_once(tmp_path: Path) -> None:
    with pytest.raises(UsageError) as raised:
        read_targets(["#12345", "blue,#123456"])
    assert len(raised.value.faults) == 2
    path = tmp_path / "list.txt"
    path.write_text("rust\n#123456\n#77\n", encoding="utf-8")
    with pytest.raises(FileFault) as in_file:
        read_targets([str(path)])
    assert [fault.where for fault in in_file.value.faults] == [
        "list.txt, line 1",
        "list.txt, line 3",
    ]
    path.write_text("// nothing\n", encoding="utf-8")
    with pytest.raises(FileFault, match="holds no colour"):
        read_targets([str(path)])
