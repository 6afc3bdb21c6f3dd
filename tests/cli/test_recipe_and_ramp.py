"""`fourpot recipe`, `ramp` and `scheme` as their users run them, and their slips."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Sequence
from pathlib import Path

import pytest
from PIL import Image

from preview.cli import app
from preview.mix.certainty import MEDIAN_ERROR
from preview.rack.load import load_rack
from preview.ramp.load import load_scheme
from preview.shipped import shipped
from tests.cli.conftest import SCHEME, Run, refused

POTS = ("--pots", "warm=rust orange", "--pots", "cold=deep sea blue", "--pots", "pale=sailcloth")
BY_RULE = SCHEME.replace(
    """shadow = { cold = 2, brown = 1 }
midtone = { brown = 2, warm = 1 }
highlight = { midtone = 1, pale = 1 }""",
    "auto = { midtone = { warm = 2, brown = 1 }, steps = 5 } # by rule",
)


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def _pixel(path: Path, at: tuple[int, int]) -> str:
    """A pixel's colour."""
    with Image.open(path) as picture:
        red, green, blue = picture.getpixel(at)
    return f"#{red:02x}{green:02x}{blue:02x}"


def test_recipe_tells_writes_and_draws(run: Run, tmp_path: Path) -> None:
    done = run("recipe", "harbour", "#8a4b2a", "--out", "out", "--json", "--drops", "6")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told == json.loads((tmp_path / "out" / "report.json").read_text(encoding="utf-8"))
    assert told["reached"]
    assert told["mixes"]["looked_at"] == told["mixes"]["of"] > 10_000
    assert {answer["certainty"] for answer in told["answers"]} == {"estimate"}
    # Row by row the wanted colour stands left of what comes of the mix.
    for number, answer in enumerate(told["answers"]):
        row = 158 + 222 * number + 30
        assert _pixel(tmp_path / "out" / "recipe.png", (200, row)) == "#8a4b2a"
        assert _pixel(tmp_path / "out" / "recipe.png", (440, row)) == answer["srgb"]


@pytest.mark.parametrize(
    "words",
    [
        ("mix", "harbour", "rust orange=2", "soot=1"),
        ("recipe", "harbour", "#6a3a28", "--pots", "rust orange", "--pots", "soot"),
        ("ramp", "harbour", "warm=1", "pale=1", *POTS),
    ],
    ids=["mix", "recipe", "ramp"],
)
def test_estimates_say_what_such_mixes_were_worth(
    words: Sequence[str], capsys: pytest.CaptureFixture[str]
) -> None:
    app([*words], standalone_mode=False)
    told = f"half of such mixes were within {MEDIAN_ERROR['estimate']:g} ΔE00"
    assert told in " ".join(capsys.readouterr().err.split())


def test_recipe_says_what_it_looks_at_and_what_it_finds(run_here: Run) -> None:
    done = run_here(
        "recipe", "harbour", "lab 60 -60 50", "--pots", "rust orange", "--pots", "sailcloth"
    )
    assert done.returncode == 0, done.stderr
    assert "Cannot be reached with these pots; the nearest is ΔE*ab" in done.stdout
    assert "23 mixes of up to 2 of 2 pots" in done.stderr
    # The nearest is a pot alone, which is no estimate of a mix.
    assert "an estimate" not in done.stderr


def test_recipe_tells_what_more_drops_would_do_and_what_its_pots_hide(
    run_here: Run, tmp_path: Path
) -> None:
    shelf = shipped("shared", "racks") / "harbour.toml"
    (tmp_path / "my shelf.toml").write_bytes(shelf.read_bytes())
    pots = [word for name in ("rust orange", "deep sea blue") for word in ("--pots", name)]
    # What 5 to 2 make, which is past 4 drops
    mixed = load_rack("harbour").mix({"rust orange": 5, "deep sea blue": 2}).srgb
    done = run_here("recipe", "my shelf", mixed, *pots, "--drops", "1", "--quiet")
    assert "Cannot be reached with these pots" in done.stdout
    done = run_here("recipe", "my shelf", mixed, *pots, "--drops", "2", "--out", "out")
    assert "Not within 2 drops; with 3 drops it is: 2 rust orange + 1 deep sea blue" in done.stdout
    said = " ".join(done.stderr.split())
    assert "fourpot calibrate 'my shelf' 'deep sea blue' --with \"your white\"" in said
    told = json.loads((tmp_path / "out" / "report.json").read_text(encoding="utf-8"))
    assert not told["reached"]
    assert told["reached_with_drops"] == 3
    assert len(told["answers"]) == 2


def test_recipe_of_a_whisper_shows_both_steps(run_here: Run, tmp_path: Path) -> None:
    done = run_here(
        "recipe",
        "pigments",
        "#dfe6f2",
        "--pots",
        "PW6",
        "--pots",
        "PB29",
        "--out",
        "out",
        "--quiet",
    )
    assert done.returncode == 0, done.stderr
    assert "first T = 1 PB29 +" in done.stdout
    assert "looked at" not in done.stderr
    with Image.open(tmp_path / "out" / "recipe.png") as picture:
        assert picture.width == 1240


def test_recipe_from_a_picture(run_here: Run, tmp_path: Path) -> None:
    Image.new("RGB", (30, 20), "#b4572b").save(tmp_path / "photo.png")
    done = run_here("recipe", "harbour", "--from", "photo.png", "--at", "12,8", "--json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["answers"][-1]["drops"] == {"rust orange": 1}
    assert "taken as sRGB" in told["wanted"]["notes"][0]


@pytest.mark.parametrize(
    ("arguments", "told", "code"),
    [
        (["harbour"], "no colour was named", 2),
        (["harbour", "mauve"], '"mauve" is no colour', 2),
        (["harbour", "lab 200 0 0"], "L* is from 0 to 100", 2),
        (["harbour", "#fff", "--pots", "rust"], 'no paint "rust"', 2),
        (["harbour", "#fff", "--drops", "0"], "--drops must be from 1 to 20", 2),
        (["harbour", "#fff", "--drops", "-4"], "--drops must be from 1 to 20", 2),
        (["harbour", "#fff", "--drops", "1000000"], "--drops must be from 1 to 20", 2),
        (["harbour", "#fff", "--at", "3,3"], "--at needs a picture", 2),
        (["harbour", "#fff", "--from", "a.png", "--at", "3,3"], "leave one of the two out", 2),
        (["harbour", "--from", "a.png"], "--at is missing", 2),
        (["harbour", "--from", "a.png", "--at", "here"], '--at "here" is no place', 2),
        (["harbour", "--from", "a.png", "--at", "3,3"], "there is no such picture", 3),
        (["no-rack", "#fff"], 'no rack "no-rack"', 3),
        (["empty.toml", "#fff"], "a rack needs at least one paint", 3),
        (["twice.toml", "#fff"], "has the same name", 3),
    ],
)
def test_slips_with_recipes(here: Path, arguments: Sequence[str], told: str, code: int) -> None:
    (here / "empty.toml").write_text('title = "Empty"\n')
    (here / "twice.toml").write_text('[[paint]]\nname = "a"\nsrgb = "#102030"\n' * 2)
    error = refused("recipe", *arguments)
    assert told in str(error)
    assert error.exit_code == code


def test_ramp_tells_steps_in_drops_and_draws_them(run: Run, tmp_path: Path) -> None:
    midtone = ("rust orange=2", "cold=1", "pale=1")
    done = run("ramp", "harbour", *midtone, *POTS, "--out", "out", "--json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told == json.loads((tmp_path / "out" / "report.json").read_text(encoding="utf-8"))
    assert [step["step"] for step in told["steps"]] == [
        "deep", "shadow", "midtone", "highlight1", "highlight2"
    ]  # fmt: skip
    lightness = [step["lab"][0] for step in told["steps"]]
    assert lightness == sorted(lightness)
    width = 1240 // 5
    for number, step in enumerate(told["steps"]):
        assert _pixel(tmp_path / "out" / "ramp.png", (60 + number * width, 150)) == step["srgb"]


def test_ramp_takes_the_pots_of_a_scheme_and_gives_the_line_for_one(
    run_here: Run, scheme: Path
) -> None:
    done = run_here("ramp", scheme, "warm=2", "brown=1", "--steps", "4")
    assert done.returncode == 0, done.stderr
    assert "midtone" in done.stdout
    assert "auto = { midtone = { warm = 2, brown = 1 }, steps = 4 }" in done.stderr


def test_a_ramp_that_the_pots_make_uneven_says_so(run: Run) -> None:
    pots = [f"--pots={pot}" for pot in ("warm=buoy red", "cold=rock pool teal", "pale=sailcloth")]
    uneven = run("ramp", "harbour", "warm=1", "pale=8", *pots)
    assert "uneven, L* 4.9 from highlight 1 to highlight 2, 15.7 from" in uneven.stderr
    assert "uneven" not in run("ramp", "harbour", "warm=1", "pale=1", *pots).stderr


@pytest.mark.parametrize(
    ("arguments", "told", "code"),
    [
        (["harbour", "warm=1"], "no pots were named", 2),
        (["harbour", "warm=1", "--pots", "soot"], '"soot" does not say which role', 2),
        (["harbour", "warm=1", "--pots", "worm=rust orange"], 'unknown key "worm"', 2),
        (["harbour", "warm=1", "--pots", "warm=rust"], 'has no paint "rust"', 2),
        (["harbour", "warm=1", "--pots", "warm=soot", "--pots", "warm=slate"], "named twice", 2),
        (["harbour", "brown=1", *POTS], '"brown" is none of the pots', 2),
        (["harbour", "warm=1", "rust orange=1", *POTS], "the warm pot is named twice", 2),
        (["harbour", "warm=0", *POTS], "not a whole number of drops above 0", 2),
        (["harbour", "warm=-1", *POTS], "not a whole number of drops above 0", 2),
        (["harbour", "warm=1000000", *POTS], "at most 99 drops", 2),
        (["harbour", "warm=1", *POTS, "--steps", "1"], "--steps must be from 3 to 9", 2),
        (["harbour", "warm=1", *POTS, "--steps", "100"], "--steps must be from 3 to 9", 2),
        (["harbour", "pale=1", *POTS], "cannot be lightened with these pots", 4),
        (["boat.toml", "warm=1", *POTS], "a scheme has its own pots", 2),
    ],
)
def test_slips_with_ramps(
    here: Path, scheme: Path, arguments: Sequence[str], told: str, code: int
) -> None:
    error = refused("ramp", *arguments)
    assert told in str(error)
    assert error.exit_code == code


def test_scheme_shows_drops_and_writes_rules_out(
    run_here: Run, scheme: Path, tmp_path: Path
) -> None:
    scheme.write_text(BY_RULE, encoding="utf-8")
    done = run_here("scheme", scheme, "--write-out", "explicit.toml")
    assert done.returncode == 0, done.stderr
    assert "rust orange" in done.stdout
    assert "tar: hull" in done.stdout
    text = (tmp_path / "explicit.toml").read_text(encoding="utf-8")
    assert "auto" not in tomllib.loads(text)["ramps"]["tar"]
    assert "# by rule" in text
    by_rule, explicit = load_scheme(scheme), load_scheme(tmp_path / "explicit.toml")
    for one, other in zip(by_rule.ramps["tar"].steps, explicit.ramps["tar"].steps, strict=True):
        assert one.drops == other.drops
    again = run_here("scheme", scheme, "--write-out", "explicit.toml")
    assert again.returncode == 5
    assert run_here("scheme", scheme, "--write-out", "explicit.toml", "--overwrite").returncode == 0
    told = json.loads(run_here("scheme", scheme, "--json").stdout)
    assert len(told["ramps"]["tar"]["steps"]) == 5
    assert told["written"] is None


def test_other_commands_take_a_ramp_by_rule(
    run_here: Run, two_solids: Path, scheme: Path, tmp_path: Path
) -> None:
    scheme.write_text(BY_RULE, encoding="utf-8")
    done = run_here("paint", scheme, "--mesh", two_solids, "--out", "out", "--frames", "1",
               "--size", "80", "--quiet")  # fmt: skip
    assert done.returncode == 0, done.stderr
    report = json.loads((tmp_path / "out" / "report.json").read_text(encoding="utf-8"))
    assert "deep" in json.dumps(report)
    done = run_here("readability", scheme, "--mesh", two_solids, "--mend", "--json")
    assert done.returncode == 0, done.stderr
