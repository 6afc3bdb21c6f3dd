"""Circle, pairs, recipe, mix and ramp as folders: pictures, and the report that is given."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from preview.errors import WriteFault
from preview.mix.mixture import Mix
from preview.palette.opposites import find_opposites
from preview.palette.pairs import find_pairs
from preview.palette.recipes import find_recipes
from preview.palette.standing import round_the_circle, stand_on_circle
from preview.palette.wanted import read_colour
from preview.publish_palette import (
    publish_circle,
    publish_mix,
    publish_pairs,
    publish_ramp,
    publish_recipe,
)
from preview.rack.load import load_rack
from preview.rack.paint import Rack
from preview.ramp.build import ramp_around
from preview.ramp.words import Role

POTS: dict[Role, str] = {"warm": "rust orange", "cold": "deep sea blue", "pale": "sailcloth"}


@pytest.fixture(scope="module")
def harbour() -> Rack:
    return load_rack("harbour")


@pytest.fixture(scope="module")
def violet(harbour: Rack) -> Mix:
    return harbour.mix({"rust orange": 2, "deep sea blue": 1})


def _circle(out: Path, rack: Rack) -> dict[str, Any]:
    standings = round_the_circle(stand_on_circle(rack))
    return publish_circle(out, rack, standings, find_opposites(standings))


def _pairs(out: Path, rack: Rack) -> dict[str, Any]:
    return publish_pairs(out, find_pairs(rack, 13))


def _recipe(out: Path, rack: Rack) -> dict[str, Any]:
    found = find_recipes(rack, read_colour("#8a4b2a"), tuple(POTS.values()), 6)
    return publish_recipe(out, rack, found)


def _ramp(out: Path, rack: Rack) -> dict[str, Any]:
    ramp = ramp_around("ramp", rack, POTS, {"warm": 1, "pale": 1}, 3)
    return publish_ramp(out, rack, POTS, ramp)


def _mix(out: Path, rack: Rack) -> dict[str, Any]:
    return publish_mix(out, rack, rack.mix({"rust orange": 2, "deep sea blue": 1}))


@pytest.mark.parametrize(
    ("publish", "pictures"),
    [
        (_circle, ["circle.png", "opposites-1.png"]),
        (_pairs, ["pairs-1.png", "pairs-2.png"]),
        (_recipe, ["recipe.png"]),
        (_ramp, ["ramp.png"]),
        (_mix, ["swatch.png"]),
    ],
)
def test_a_folder_holds_its_pictures_and_the_report_that_is_given(
    tmp_path: Path,
    harbour: Rack,
    publish: Callable[[Path, Rack], dict[str, Any]],
    pictures: list[str],
) -> None:
    out = tmp_path / "out"
    report = publish(out, harbour)
    assert json.loads((out / "report.json").read_text(encoding="utf-8")) == report
    assert report.get("pictures", pictures) == pictures
    assert sorted(path.name for path in out.glob("*.png")) == pictures
    for name in pictures:
        with Image.open(out / name) as picture:
            picture.load()
            assert len(picture.convert("RGB").resize((60, 60)).getcolors(3600) or ()) > 3


def test_a_full_disk_leaves_no_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, harbour: Rack, violet: Mix
) -> None:
    def fail(*_: Any, **__: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Image.Image, "save", fail)
    with pytest.raises(WriteFault, match="No space left"):
        publish_mix(tmp_path / "out", harbour, violet)
    assert list(tmp_path.iterdir()) == []


def test_files_of_others_are_left_alone_unless_asked(
    tmp_path: Path, harbour: Rack, violet: Mix
) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(WriteFault, match="did not write"):
        publish_mix(tmp_path, harbour, violet)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["notes.txt"]
    publish_mix(tmp_path, harbour, violet, overwrite=True)
    assert (tmp_path / "notes.txt").read_text(encoding="utf-8") == "mine"
    assert (tmp_path / "swatch.png").exists()
