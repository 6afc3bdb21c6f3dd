"""fourpot calibrate: what it writes, what it keeps, what it refuses."""

from __future__ import annotations

import json
import os
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from preview.cli import app
from preview.errors import WriteFault
from preview.rack.load import load_rack
from preview.rack.rewrite import calibrated_text
from preview.rack.tints import TINT_KEYS
from tests.cli.conftest import refused

SHELF = """# my own shelf
title = "Shelf"

[[paint]]   # the blue one
name = "blue" # from the corner shop
srgb = "#1d2f7a"
stock_ml = 17

# ---- reds ----

[[paint]]
name = "red"
srgb = "#a43530"

[[paint]]
name = "white"
srgb = "#f4f3ee"

[[paint]]
name = "cream"
srgb = "#e6dcc4"
"""
TINT = ("--with", "white", "--parts", "1:9", "--srgb", "#8ca0d2")

Call = Callable[..., dict[str, Any]]


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "shelf.toml"
    path.write_text(SHELF, encoding="utf-8")
    return path


@pytest.fixture
def calibrate(capsys: pytest.CaptureFixture[str]) -> Call:
    """Run the command in this process; its report."""

    def call(*arguments: object) -> dict[str, Any]:
        app(["calibrate", *map(str, arguments), "--json"], standalone_mode=False)
        report: dict[str, Any] = json.loads(capsys.readouterr().out)
        return report

    return call


def _without_calibration(text: str) -> Any:
    rack = tomllib.loads(text)
    for paint in rack["paint"]:
        paint.pop("scattering", None)
        paint.pop("tints", None)
    return rack


def test_a_tint_is_written_into_the_rack_and_all_else_stays(shelf: Path, calibrate: Call) -> None:
    report = calibrate(shelf, "blue", *TINT, "--out", "card")
    text = shelf.read_text(encoding="utf-8")
    assert _without_calibration(text) == tomllib.loads(SHELF)
    left = [line for line in text.splitlines() if line in SHELF.splitlines()]
    assert left == SHELF.splitlines()
    (tint,) = report["tints"]
    assert tint["after"] < tint["before"]
    assert tint["after"] == pytest.approx(min(tint["after_one_number"], tint["after"]))
    rack = load_rack(shelf)
    assert rack.paints["blue"].calibrated
    mix = rack.mix({"blue": 1, "white": 9})
    assert (mix.certainty, mix.srgb) == ("calibrated", tint["predicted_after"])
    assert Path(report["backup"]).read_text(encoding="utf-8") == SHELF
    with Image.open("card/card.png") as card:
        wanted = tuple(int(tint["srgb"][k : k + 2], 16) for k in (1, 3, 5))
        assert card.getpixel((740, 240)) == wanted


def test_several_tints_add_up_and_no_backup_is_lost(shelf: Path, calibrate: Call) -> None:
    calibrate(shelf, "blue", *TINT)
    once = shelf.read_text(encoding="utf-8")
    report = calibrate(
        shelf, "blue", "--with", "white", "--parts", "1:1", "--lab", "38,12,-44", "--white", "D50"
    )
    assert [tint["parts"] for tint in report["tints"]] == ["1:1", "1:9"]
    assert Path(report["backup"]).read_text(encoding="utf-8") == once
    assert Path(f"{shelf}.backup-1").read_text(encoding="utf-8") == SHELF
    assert len(load_rack(shelf).paints["blue"].tints) == 2
    again = calibrate(shelf, "blue")
    assert again["scattering"] == report["scattering"]
    forgot = calibrate(shelf, "blue", *TINT, "--afresh")
    assert [tint["parts"] for tint in forgot["tints"]] == ["1:9"]


def test_a_second_white_and_colours_wait_for_their_turn(shelf: Path, calibrate: Call) -> None:
    by_red = refused(
        "calibrate", shelf, "blue", "--with", "red", "--parts", "1:1", "--srgb", "#604060"
    )
    assert "scatters is unknown" in str(by_red)
    assert calibrate(shelf, "blue", *TINT)["reference_white"] == "white"
    cream = ("--with", "cream", "--parts", "1:9", "--srgb", "#d08070")
    assert 'calibrated against "white"' in str(refused("calibrate", shelf, "red", *cream))
    itself = refused(
        "calibrate", shelf, "white", "--with", "blue", "--parts", "1:1", "--srgb", "#8090c0"
    )
    assert "relative to" in str(itself)
    mixed = load_rack(shelf).mix({"blue": 1, "cream": 3})
    report = calibrate(shelf, "cream", "--with", "blue", "--parts", "3:1", "--srgb", mixed.srgb)
    assert report["tints"][0]["after"] < 1.0
    rests = calibrate(shelf, "blue")
    assert rests["calibrate_again"] == ["cream"]


def test_a_shipped_rack_is_copied_never_written(shelf: Path, calibrate: Call) -> None:
    tint = ("--with", "whitewash", "--parts", "1:9", "--srgb", "#8fa6c0")
    shipped = refused("calibrate", "harbour", "deep sea blue", *tint)
    assert isinstance(shipped, WriteFault)
    assert "--to my-harbour.toml" in str(shipped)
    report = calibrate("harbour", "deep sea blue", *tint, "--to", "my-harbour.toml")
    assert report["backup"] is None
    assert load_rack("my-harbour.toml").paints["deep sea blue"].calibrated
    assert not load_rack("harbour").paints["deep sea blue"].calibrated
    assert "there already" in str(
        refused("calibrate", "harbour", "deep sea blue", *tint, "--to", "my-harbour.toml")
    )


def test_measured_tints_are_named_from_where_the_rack_stands(
    shelf: Path, calibrate: Call, tmp_path: Path
) -> None:
    (tmp_path / "far").mkdir()
    (tmp_path / "lab").mkdir()
    curve = load_rack(shelf).mix({"blue": 1, "white": 4}).reflectance
    rows = "\n".join(f"{nm},{v:.5f}" for nm, v in zip(range(400, 701, 10), curve, strict=True))
    (tmp_path / "lab" / "tint.csv").write_text(f"nm,tint\n{rows}\n", encoding="utf-8")
    tint = ("--with", "white", "--parts", "1:4", "--reflectance", "lab/tint.csv")
    report = calibrate(shelf, "blue", *tint)
    assert report["tints"][0]["before"] < 0.1
    assert 'reflectance = "lab/tint.csv"' in shelf.read_text(encoding="utf-8")
    calibrate(shelf, "blue", "--to", "far/copy.toml")
    assert 'reflectance = "../lab/tint.csv"' in Path("far/copy.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("arguments", "says", "code"),
    [
        (("blue",), "has no tint", 4),
        (("bleu", *TINT), 'did you mean "blue"', 2),
        (("blue", "--with", "withe", *TINT[2:]), 'did you mean "white"', 2),
        (("blue", *TINT[2:]), "--with is missing", 2),
        (("blue", "--with", "white", "--srgb", "#777"), "--parts is missing", 2),
        (("blue", "--with", "white", "--parts", "1:1"), "the tint has no colour", 2),
        (("blue", *TINT, "--lab", "5,5,5"), "--srgb and --lab are given", 2),
        (("blue", *TINT[:2], "--parts", "0:1", *TINT[4:]), "parts must be two whole", 2),
        (("blue", *TINT[:2], "--parts", "half", *TINT[4:]), "parts must be two whole", 2),
        (("blue", *TINT[:4], "--srgb", "blue"), "no colour of the form", 2),
        (("blue", *TINT[:4], "--lab", "50,200,0"), "no paint can have the colour", 2),
        (("blue", *TINT[:4], "--lab", "50,nan,0"), "must be a list of 3 numbers", 2),
        (("blue", *TINT[:4], "--lab", "50"), "three numbers", 2),
        (("blue", *TINT, "--white", "D50"), "white goes with lab", 2),
        (("blue", *TINT[:4], "--lab", "50,0,0", "--observer", "3"), "2 or 10 degrees", 2),
        (("blue", *TINT[:4], "--reflectance", "none.csv"), "no such reflectance file", 3),
        (("white", *TINT), "cannot be its own tint", 4),
        (("blue", *TINT[:4], "--srgb", "#f4f3ee"), "does not tell how strong", 4),
        (("blue", *TINT[:4], "--srgb", "#d8b020"), "this tint would be #", 4),
        (("blue", *TINT, "--card", "1,1,1"), "--card goes with --from-photo", 2),
        (("blue", *TINT[:4], "--from-photo", "a.jpg"), "--swatch is missing", 2),
        (
            ("blue", *TINT[:4], "--from-photo", "a.jpg", "--swatch", "9,9,5", "--card", "1,1,0"),
            "radius",
            2,
        ),
        (
            ("blue", *TINT[:4], "--from-photo", "a.jpg", "--swatch", "9,9,5", "--card", "1,1,5"),
            "no such photograph",
            3,
        ),
        (
            ("blue", *TINT[:4], "--from-photo", "a", "--swatch", "9,9,5", "--chart", "1,1,5"),
            "four corners",
            2,
        ),
        (("blue", *TINT, "--to", "copy.txt"), "ends in .toml", 5),
        (("blue", *TINT, "--to", "none/copy.toml"), "no such folder", 5),
    ],
)
def test_slips_are_told_and_leave_the_rack_alone(
    shelf: Path, arguments: tuple[str, ...], says: str, code: int
) -> None:
    error = refused("calibrate", shelf, *arguments)
    assert says in str(error)
    assert error.exit_code == code
    assert all(fault.where for fault in error.faults)
    assert shelf.read_text(encoding="utf-8") == SHELF
    assert os.listdir(shelf.parent) == [shelf.name]


def test_a_tint_of_another_hue_needs_a_sure_word(shelf: Path, calibrate: Call) -> None:
    pink = ("shelf.toml", "blue", "--with", "white", "--parts", "1:9", "--srgb", "#c08f8f")
    error = refused("calibrate", *pink)
    assert error.exit_code == 4
    assert "--sure" in str(error)
    assert '"blue" in "white" would look more like #' in str(error)
    assert error.faults[0].where.endswith('"blue", 1:9 with "white"')
    assert shelf.read_text(encoding="utf-8") == SHELF
    assert calibrate(*pink, "--sure")["doubts"]
    assert load_rack(shelf).paints["blue"].calibrated


def test_a_tint_that_was_taken_is_not_asked_about_again(shelf: Path, calibrate: Call) -> None:
    pink = ("shelf.toml", "blue", "--with", "white", "--parts", "1:9", "--srgb", "#c08f8f")
    calibrate(*pink, "--sure")
    assert calibrate("shelf.toml", "blue")["doubts"]
    twin = refused("calibrate", *pink[:-1], "#c1908f")
    # Of two doubtful tints only the new one is asked about
    assert len(twin.faults) == 1
    # A tint that fits the pot is not, though the one that is kept stays doubtful
    report = calibrate("shelf.toml", "red", *TINT[:-1], "#d89a98")
    assert report["doubts"] == []


def test_all_slips_of_a_photographed_tint_are_told_at_once(shelf: Path) -> None:
    error = refused("calibrate",
        shelf, "blue", "--with", "white", "--from-photo", "none.png", "--swatch", "1,2", "--chart",
        "5,5,2", "--card-percent", "0",
    )  # fmt: skip
    told = "--parts is missing", "--card-percent must", "--swatch must be", "--chart needs four"
    assert len(error.faults) == len(told)
    assert all(words in str(error) for words in told)


def test_paints_that_the_rack_lacks_are_told_together(shelf: Path) -> None:
    tint = ("--parts", "1:9", "--srgb", "#8fa6c0")
    error = refused("calibrate", shelf, "bleu", "--with", "wite", *tint)
    assert [fault.what.split('"')[1] for fault in error.faults] == ["bleu", "wite"]


def test_a_read_only_rack_stays(shelf: Path) -> None:
    shelf.chmod(0o444)
    assert "read-only" in str(refused("calibrate", shelf, "blue", *TINT))
    assert shelf.read_text(encoding="utf-8") == SHELF


def test_a_stop_while_writing_leaves_the_old_rack_and_no_backup(
    shelf: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(path: Path) -> None:
        raise KeyboardInterrupt

    from preview import publish_calibration

    monkeypatch.setattr(publish_calibration, "load_rack", stop)
    assert app(["calibrate", str(shelf), "blue", *TINT, "--out", "card"], standalone_mode=False)
    assert shelf.read_text(encoding="utf-8") == SHELF
    assert os.listdir(shelf.parent) == [shelf.name]


def test_a_photograph_gives_the_tint(shelf: Path, calibrate: Call, tmp_path: Path) -> None:
    tint = load_rack(shelf).mix({"blue": 1, "white": 9}).srgb
    pixels = np.full((120, 200, 3), 119, dtype=np.uint8)
    pixels[:, 100:] = [int(tint[k : k + 2], 16) for k in (1, 3, 5)]
    Image.fromarray(pixels).save(tmp_path / "desk.png")
    spots = ("--swatch", "150,60,20", "--card", "10,10,80,10,80,100,10,100")
    # 119 is linear 0.184
    report = calibrate(
        shelf, "blue", *TINT[:4], "--from-photo", "desk.png", *spots, "--card-percent", "18.4",
        "--out", "card",
    )  # fmt: skip
    assert report["tints"][0]["before"] < 0.5
    assert report["photograph"]["residual_median"] is None
    assert "desk.png, grey card" in shelf.read_text(encoding="utf-8")
    with Image.open("card/photograph.png") as shown:
        assert shown.size == (800, 480)


ODD = (
    'tints = [ # all dry\n  { with = "white", parts = "1:1", srgb = "#7780bb" }, # first\n'
    '  # second\n  { with = "white", parts = "1:2", srgb = "#99aacc" } # no comma\n  # end\n]',
    'tints = [{ with = "white", parts = "1:1", srgb = "#7780bb" }]',
    "tints = []",
    '\n[[paint.tints]]\nwith = "white"\nparts = "1:1"\nsrgb = "#7780bb" # here',
    "scattering = [-1, 0, 0] # by hand",
    "",
)


@pytest.mark.parametrize("odd", ODD)
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize("afresh", [False, True])
def test_odd_ways_to_write_a_rack_survive(odd: str, newline: str, afresh: bool) -> None:
    text = SHELF.replace("stock_ml = 17", f"stock_ml = 17\n{odd}").replace("\n", newline)
    tint = {"with": "white", "parts": "1:9", "srgb": "#8ca0d2"}
    written = calibrated_text(text, "blue", (-1.0, 0.25, 0.0), tint, afresh, "white")
    assert _without_calibration(written) == _without_calibration(text)
    blue, _, white, _ = tomllib.loads(written)["paint"]
    older = tomllib.loads(text)["paint"][0].get("tints", [])
    assert blue["tints"] == [tint, *([] if afresh else older)]
    assert blue["scattering"] == [-1.0, 0.25, 0.0]
    assert white["scattering"] == [0.0, 0.0, 0.0]
    assert written.count("\r\n") == (written.count("\n") if newline == "\r\n" else 0)
    comments = [word for word in ("# from the corner shop", "# ---- reds ----") if word in written]
    assert len(comments) == 2
    if odd is ODD[0] and not afresh:
        assert all(word in written for word in ("# all dry", "# first", "# second", "# end"))


def test_every_key_of_a_tint_stands_in_the_readme() -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    about = readme[readme.index("## Schemes and racks") : readme.index("## Commands")]
    assert all(key in about for key in TINT_KEYS)
