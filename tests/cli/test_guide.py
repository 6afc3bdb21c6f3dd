"""fourpot guide from its options to its files and exit codes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.conftest import SCHEME, Run


def test_guide_writes_paper_page_and_report(
    run: Run, two_solids: Path, scheme: Path, tmp_path: Path
) -> None:
    done = run("guide", scheme, "--mesh", two_solids, "--out", "out", "--figures", "5", "--json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["assumed"]["figures"] == 5
    assert sorted(told["painting_order"]) == ["hull", "mast"]
    shown = sum(row["shown_mm2"] for row in told["areas"] if row["area"] == "hull")
    # A box of 12 x 20 x 8.
    assert shown == pytest.approx(2 * (12 * 20 + 12 * 8 + 20 * 8), rel=1e-3)
    for mix in told["mixes"]:
        assert mix["left_drops"] >= 0
        recipe = sum(mix["parts"].values())
        assert mix["drops"] == pytest.approx(mix["recipes"] * recipe, abs=1e-4 * recipe)
        assert mix["dabs"] == (mix["recipes"] < 1)
    mixed = sum(mix["drops"] - mix["for_other_mixes_drops"] for mix in told["mixes"])
    assert sum(pot["drops"] for pot in told["pots"]) == pytest.approx(mixed, abs=1e-3)
    assert told["cautions"]
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert names == {"guide.pdf", "guide.html", "report.json", ".fourpot.json"}
    assert (tmp_path / "out" / "guide.pdf").read_bytes().startswith(b"%PDF-")
    assert json.loads((tmp_path / "out" / "report.json").read_text(encoding="utf-8")) == told
    assert str(tmp_path) not in done.stdout


def test_the_terminal_shows_tables_and_the_same_bytes_come_twice(
    run: Run, two_solids: Path, scheme: Path, tmp_path: Path
) -> None:
    for out in ("one", "two"):
        done = run("guide", scheme, "--mesh", two_solids, "--out", out, "--paper", "letter")
        assert done.returncode == 0, done.stderr
    assert "made of" in done.stdout
    assert "left in the pot" in done.stdout
    assert "rust orange" in done.stdout
    assert "without a source" in done.stderr
    for made in (tmp_path / "one").iterdir():
        assert made.read_bytes() == (tmp_path / "two" / made.name).read_bytes(), made.name


def test_a_figure_in_bare_primer_has_a_guide(
    run: Run, two_solids: Path, scheme: Path, tmp_path: Path
) -> None:
    bare = SCHEME.replace('hull = "tar"\n', "").replace('mast = "wood"\n', "")
    scheme.write_text(bare, encoding="utf-8")
    done = run("guide", scheme, "--mesh", two_solids, "--out", "out", "--json")
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["mixes"] == []
    assert (tmp_path / "out" / "guide.pdf").stat().st_size > 0


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        (["missing.toml"], 3, "missing.toml"),
        (["boat.toml"], 2, "--mesh"),
        (["boat.toml", "--mesh", "missing.stl"], 3, "missing.stl"),
        (["boat.toml", "--paper", "a5"], 2, "letter"),
        (["boat.toml", "--waste", "1"], 2, "--waste"),
        (["boat.toml", "--solids", "0"], 2, "--solids"),
        (["boat.toml", "--drop-ml", "nan"], 2, "--drop-ml"),
        (["boat.toml", "--film-um", "-3"], 2, "--film-um"),
        (["boat.toml", "--coats", "0"], 2, "--coats"),
        (["boat.toml", "--figures", "0"], 2, "--figures"),
        (["boat.toml", "--out", "boat.toml"], 5, "--out"),
        ([], 2, "SCHEME"),
    ],
)
def test_mistakes_get_one_clear_message_and_leave_nothing(
    run_here: Run, scheme: Path, arguments: list[str], code: int, words: str, tmp_path: Path
) -> None:
    done = run_here("guide", *arguments)
    assert done.returncode == code, done.stderr
    assert words in done.stderr
    assert "Traceback" not in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["boat.toml"]
