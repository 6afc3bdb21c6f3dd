"""Circle, pairs, recipe, mix and ramp as folders: the report that is written is the one given."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from preview import publish_palette
from preview.errors import WriteFault
from preview.palette.opposites import find_opposites
from preview.palette.pairs import find_pairs
from preview.palette.recipes import find_recipes
from preview.palette.standing import round_the_circle, stand_on_circle
from preview.palette.wanted import read_colour
from preview.publish_palette import (
    circle_report,
    mix_report,
    pairs_report,
    publish_circle,
    publish_mix,
    publish_pairs,
    publish_ramp,
    publish_recipe,
    ramp_report,
    recipe_report,
)
from preview.rack.load import load_rack
from preview.ramp.build import ramp_around
from preview.ramp.words import Role

Publish = Callable[..., dict[str, Any]]

HARBOUR = load_rack("harbour")
POTS: dict[Role, str] = {"warm": "rust orange", "cold": "deep sea blue", "pale": "sailcloth"}
STANDINGS = round_the_circle(stand_on_circle(HARBOUR))
OPPOSITES = find_opposites(STANDINGS)
PAIRS = find_pairs(HARBOUR, 13)
RECIPES = find_recipes(HARBOUR, read_colour("#8a4b2a"), tuple(POTS.values()), 6)
MIX = HARBOUR.mix({"rust orange": 2, "deep sea blue": 1})
RAMP = ramp_around("ramp", HARBOUR, POTS, {"warm": 1, "pale": 1}, 3)

CIRCLE_FILES = ("circle.png", "opposites-1.png")
PAIRS_FILES = ("pairs-1.png", "pairs-2.png")
CASES = [
    pytest.param(
        publish_circle,
        (HARBOUR, STANDINGS, OPPOSITES),
        circle_report(HARBOUR, STANDINGS, OPPOSITES, CIRCLE_FILES),
        CIRCLE_FILES,
        id="circle",
    ),
    pytest.param(
        publish_pairs, (PAIRS,), pairs_report(PAIRS, PAIRS_FILES), PAIRS_FILES, id="pairs"
    ),
    pytest.param(
        publish_recipe,
        (HARBOUR, RECIPES),
        recipe_report(HARBOUR, RECIPES),
        ("recipe.png",),
        id="recipe",
    ),
    pytest.param(
        publish_ramp,
        (HARBOUR, POTS, RAMP),
        ramp_report(HARBOUR, POTS, RAMP),
        ("ramp.png",),
        id="ramp",
    ),
    pytest.param(publish_mix, (HARBOUR, MIX), mix_report(HARBOUR, MIX), ("swatch.png",), id="mix"),
]


@pytest.mark.parametrize(("publish", "given", "report", "pictures"), CASES)
def test_a_folder_holds_its_pictures_and_the_report_that_is_given(
    tmp_path: Path,
    publish: Publish,
    given: tuple[Any, ...],
    report: dict[str, Any],
    pictures: tuple[str, ...],
) -> None:
    out = tmp_path / "out"
    assert publish(out, *given) == report
    assert json.loads((out / "report.json").read_text(encoding="utf-8")) == report
    assert sorted(path.name for path in out.glob("*.png")) == sorted(pictures)
    for name in pictures:
        with Image.open(out / name) as picture:
            picture.load()
            assert len(picture.convert("RGB").resize((60, 60)).getcolors(3600) or ()) > 3


def test_the_circle_is_reported_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made = []

    def counted(*given: Any) -> dict[str, Any]:
        made.append(given)
        return circle_report(*given)

    monkeypatch.setattr(publish_palette, "circle_report", counted)
    publish_circle(tmp_path / "out", HARBOUR, STANDINGS, OPPOSITES)
    assert len(made) == 1


def test_what_cannot_be_drawn_leaves_no_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: Any) -> Image.Image:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(publish_palette, "swatch_card", fail)
    with pytest.raises(WriteFault, match="No space left"):
        publish_mix(tmp_path / "out", HARBOUR, MIX)
    assert list(tmp_path.iterdir()) == []


def test_files_of_others_are_left_alone_unless_asked(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(WriteFault, match="did not write"):
        publish_mix(tmp_path, HARBOUR, MIX)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["notes.txt"]
    publish_mix(tmp_path, HARBOUR, MIX, overwrite=True)
    assert (tmp_path / "notes.txt").read_text(encoding="utf-8") == "mine"
    assert (tmp_path / "swatch.png").exists()
