"""fourpot circle and fourpot pairs from their options to their files and exit code."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from PIL import Image

from tests.cli.conftest import Run

RUST = '[[paint]]\nname = "rust"\nsrgb = "#b4572b"\n'
GREYS = '[[paint]]\nname = "ash"\nsrgb = "#808080"\n[[paint]]\nname = "soot"\nsrgb = "#29292c"\n'


def test_circle_reports_places_and_three_opposites(run_here: Run) -> None:
    done = run_here("circle", "harbour", "--json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    paints = {paint["name"]: paint for paint in told["paints"]}
    assert len(paints) == 15
    assert paints["rust orange"]["side"] == "warm"
    assert paints["deep sea blue"]["side"] == "cold"
    assert paints["soot"]["wheel_deg"] is None
    assert paints["tarred rope"]["tint"]["white_drops"] >= 1
    assert {paint["certainty"] for paint in told["paints"]} == {"estimate"}
    row = next(row for row in told["opposites"] if row["name"] == "buoy red")
    assert row["on_the_circle"]["name"] == "kelp green"
    assert row["in_cielab"]["name"] == "rock pool teal"
    assert row["mixing_to_neutral"]["verdict"] == "complementary"
    assert row["mixing_to_neutral"]["certainty"] == "estimate"


def test_circle_tells_a_table_and_writes_its_pictures(run: Run, tmp_path: Path) -> None:
    done = run("circle", "harbour", "--out", "circle")
    assert done.returncode == 0, done.stderr
    rows = [line.split("  ")[0] for line in done.stdout.splitlines()]
    assert rows.count("rust orange") == 2
    assert "across in CIELAB" in done.stdout
    report = json.loads((tmp_path / "circle" / "report.json").read_text(encoding="utf-8"))
    assert report["pictures"] == ["circle.png", "opposites-1.png"]
    for name in report["pictures"]:
        with Image.open(tmp_path / "circle" / name) as picture:
            assert picture.width >= 2000


def test_pairs_reports_the_best_and_says_how_many_are_left_out(run: Run) -> None:
    done = run("pairs", "harbour", "--top", "3", "--json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert (told["pairs_in_all"], told["pairs_told"], len(told["pairs"])) == (30, 3, 3)
    spans = [pair["span"] for pair in told["pairs"]]
    assert spans == sorted(spans, reverse=True)
    pair = told["pairs"][0]
    assert len(pair["chroma_left"]) == len(told["chart_drops"]) == 9
    assert pair["most_neutral"]["chroma"] <= min(pair["chroma_left"]) + 1e-9
    assert pair["brown"]["certainty"] == "estimate"
    assert "27 of 30 are left out" in told["notes"][0]


def test_pairs_tells_tables_and_writes_pages(run_here: Run, tmp_path: Path) -> None:
    done = run_here("pairs", "harbour", "--top", "13", "--out", "pairs")
    assert done.returncode == 0, done.stderr
    assert done.stdout.count("rock pool teal") >= 2
    assert "17 of 30 are left out" in done.stderr
    made = sorted(path.name for path in (tmp_path / "pairs").glob("*.png"))
    assert made == ["pairs-1.png", "pairs-2.png"]


@pytest.mark.parametrize(
    ("text", "command", "code", "words"),
    [
        (RUST, "circle", 0, "No paint of this rack is cold."),
        (RUST, "pairs", 4, "no cold paint"),
        (GREYS, "circle", 0, "All paints of this rack are neutral"),
        (GREYS, "pairs", 4, "no warm paint"),
        ("", "circle", 3, "at least one paint"),
        ("", "pairs", 3, "at least one paint"),
    ],
)
def test_racks_that_lack_something_get_plain_words(
    run_here: Run, tmp_path: Path, text: str, command: str, code: int, words: str
) -> None:
    (tmp_path / "mine.toml").write_text(text, encoding="utf-8")
    done = run_here(command, "mine.toml")
    assert done.returncode == code, done.stderr
    assert words in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("top", ["0", "-3"])
def test_no_pairs_at_all_cannot_be_asked_for(run_here: Run, top: str) -> None:
    done = run_here("pairs", "harbour", "--top", top)
    assert done.returncode == 2
    assert "--top must be from 1" in done.stderr
