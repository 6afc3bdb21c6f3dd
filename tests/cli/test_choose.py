"""fourpot choose: a table, JSON, schemes that run, and slips told with their remedy."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from preview.cli import app
from preview.ramp.load import load_scheme
from tests.cli.conftest import refused


def _said(capsys: pytest.CaptureFixture[str], *arguments: object) -> str:
    """What the command prints on standard output."""
    app(["choose", *map(str, arguments)], standalone_mode=False)
    return capsys.readouterr().out


def test_the_table_shows_every_figure_with_its_weight(capsys: pytest.CaptureFixture[str]) -> None:
    out = _said(capsys, "harbour", "--count", 2, "--weight", "reach=3", "--quiet")
    lines = out.splitlines()
    for figure in ("reach", "span", "hues", "harmony", "contrast", "browns", "greys", "dark"):
        assert figure in lines[0]
    assert "×3" in lines[1]
    assert lines[2].startswith(" 1.")
    assert 'warm "buoy red", cold "dusk violet", pale "sailcloth", accent "kelp green"' in out
    assert not any(line.startswith(" 3.") for line in lines)


def test_json_tells_figures_weights_and_how_sure_it_is(capsys: pytest.CaptureFixture[str]) -> None:
    report = json.loads(
        _said(capsys, "harbour", "--json", "--with", "kelp green", "--missing", "kelp green")
    )
    assert report["left_out_at_most"] is None
    assert report["options"] == report["mixed_in_full"]
    assert set(report["best"][0]["figures"]) == set(report["weights"])
    for row in report["best"]:
        assert "kelp green" in row["pots"].values()
        assert row["missing"] == ["kelp green"]
    scores = [row["score"] for row in report["best"]]
    assert scores == sorted(scores, reverse=True)


def test_ones_own_colours_count_for_reach(capsys: pytest.CaptureFixture[str]) -> None:
    report = json.loads(_said(capsys, "harbour", "--json", "--want", "#b4572b,#e6dcc4"))
    assert report["reach_counts"] == "2 colours of your own"
    assert report["best"][0]["pots"]["warm"] == "rust orange"
    assert report["best"][0]["figures"]["reach"] == 1.0


def test_the_best_options_become_schemes_that_run(
    capsys: pytest.CaptureFixture[str], two_solids: Path, tmp_path: Path
) -> None:
    out = tmp_path / "options"
    _said(capsys, "harbour", "--mesh", two_solids, "--count", 2, "--differ", 2, "--out", out)
    assert (out / "sheet.png").stat().st_size > 10_000
    report = json.loads((out / "report.json").read_text(encoding="utf-8"))
    for row in report["best"]:
        scheme = load_scheme(out / row["scheme"])
        assert {role: scheme.pots[role] for role in row["pots"]} == row["pots"]
        assert scheme.meshes[0].samefile(two_solids)
        assert scheme.title.startswith(f"{scheme.pots['warm']} and {scheme.pots['cold']}")
    assert not {*report["best"][0]["pots"].values()} >= {*report["best"][1]["pots"].values()}


def test_slips_are_told_all_at_once() -> None:
    error = refused(
        "choose",
        *("harbour", "--weight", "raech=1", "--define", "brwon.hue=1:2"),
        *("--count", 0, "--want", "red", "--marks", "marks.toml"),
    )
    assert error.exit_code == 2
    assert len(error.faults) == 5
    assert 'did you mean "reach"?' in str(error)
    assert 'did you mean "brown"?' in str(error)


def test_a_rack_without_the_roles_is_told(tmp_path: Path) -> None:
    rack = tmp_path / "grey.toml"
    rack.write_text('[[paint]]\nname = "slate"\nsrgb = "#4c5a66"\n', encoding="utf-8")
    error = refused("choose", rack)
    assert error.exit_code == 4
    assert len(error.faults) == 3
    assert '"slate" comes nearest' in str(error)
    rack.write_text('title = "empty"\n', encoding="utf-8")
    assert refused("choose", rack).exit_code == 3


def test_a_folder_of_others_is_refused_before_any_work(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("x", encoding="utf-8")
    assert refused("choose", "harbour", "--out", tmp_path).exit_code == 5
