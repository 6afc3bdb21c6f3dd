"""Areas on a single solid from the command line: proposal, names, marks, export, paint."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tests.areas.marked_bodies import snowman
from tests.areas.small_meshes import write_stl
from tests.cli.conftest import Run
from tests.cli.test_commands import SCHEME


@pytest.fixture
def stl(tmp_path: Path) -> Path:
    sculpt, _ = snowman(0.8)
    mesh = sculpt.vertices.astype(np.float64), sculpt.faces.astype(np.int64)
    return write_stl(tmp_path / "snowman.stl", mesh)


@pytest.fixture
def proposed(run: Run, stl: Path, tmp_path: Path) -> Path:
    done = run("areas", stl, "--propose", "3", "--out", "sheet", "--quiet")
    assert done.returncode == 0, done.stderr
    return tmp_path / "sheet"


def _named(proposed: Path, target: Path, more: str = "") -> Path:
    """The proposal's marks file with names over its numbers."""
    text = (proposed / "marks.toml").read_text(encoding="utf-8")
    names = '[areas]\nhull = [1]\nmast = [2]\n"top knot" = [3]\n'
    text = text.replace("[areas]\n", names, 1).replace("# [[mark]]", more + "# [[mark]]", 1)
    target.write_text(text, encoding="utf-8")
    return target


def test_a_proposal_has_a_sheet_pictures_and_a_marks_file(proposed: Path) -> None:
    report = json.loads((proposed / "report.json").read_text(encoding="utf-8"))
    assert [r["name"] for r in report["regions"]] == ["1", "2", "3"]
    assert report["unseen"] == []
    for name in report["pictures"]:
        with Image.open(proposed / name) as picture:
            assert np.asarray(picture).std() > 10
    assert {"front.png", "left.png", "back.png", "right.png"} <= set(report["pictures"])


def test_a_marks_file_that_may_hold_names_is_not_written_over(
    run: Run, stl: Path, proposed: Path
) -> None:
    mine = _named(proposed, proposed / "marks.toml")
    before = mine.read_bytes()
    done = run("areas", stl, "--propose", "5", "--out", "sheet")
    assert done.returncode == 5
    assert "may hold your names" in done.stderr
    assert mine.read_bytes() == before


def test_names_and_a_picked_pixel_become_areas_and_paint(
    run: Run, stl: Path, proposed: Path, tmp_path: Path
) -> None:
    marks = _named(
        proposed,
        tmp_path / "mine.toml",
        '[[mark]]\narea = "button"\ndisc = 3.0\nview = "front"\nat = [380, 500]\n\n',
    )
    done = run("areas", stl, marks, "--out", "out", "--export", "out.3mf", "--json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert {row["name"] for row in told["areas"]} == {"hull", "mast", "top knot", "button"}
    assert told["unmarked_mm2"] == 0
    assert {frozenset((t["one"], t["other"])) for t in told["touching"]} >= {
        frozenset(("hull", "mast"))
    }
    text = (tmp_path / "out" / "marks.toml").read_text(encoding="utf-8")
    assert 'view = "front"\nat = [380, 500]' not in text
    again = run("areas", stl, "out/marks.toml", "--json")
    assert json.loads(again.stdout)["areas"] == told["areas"]
    exported = json.loads(run("areas", "out.3mf", "--json").stdout)
    assert {r["name"] for r in exported["areas"]} == {r["name"] for r in told["areas"]}

    scheme = tmp_path / "boat.toml"
    scheme.write_text(SCHEME + '"top knot" = "wood"\nbutton = "tar"\n', encoding="utf-8")
    done = run("paint", scheme, "--mesh", stl, "--marks", marks, "--out", "p", "--frames", "1",
               "--size", "90", "--json")  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert len(json.loads(done.stdout)["areas"]) == 4


def test_update_writes_places_into_the_file_itself(
    run: Run, stl: Path, proposed: Path, tmp_path: Path
) -> None:
    marks = _named(
        proposed, tmp_path / "mine.toml",
        '[[mark]]\narea = "button"\nview = "front"\nat = [380, 500]\n\n',
    )  # fmt: skip
    assert run("areas", stl, marks, "--update").returncode == 0
    text = marks.read_text(encoding="utf-8")
    assert "hull = [1]" in text
    assert "at = [380, 500]" not in text


def test_the_scheme_may_name_mesh_and_marks(
    run: Run, stl: Path, proposed: Path, tmp_path: Path
) -> None:
    _named(proposed, tmp_path / "mine.toml")
    scheme = tmp_path / "boat.toml"
    head = 'mesh = "snowman.stl"\nmarks = "mine.toml"\n'
    scheme.write_text(head + SCHEME + '"top knot" = "wood"\n', encoding="utf-8")
    done = run("readability", scheme, "--json")
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["pairs"]


def test_requests_that_do_not_fit_are_refused(
    run: Run, stl: Path, proposed: Path, tmp_path: Path
) -> None:
    marks = _named(proposed, tmp_path / "mine.toml")
    for arguments, code, expected in (
        (["--propose", "4"], 2, "needs a folder"),
        ([marks, "--propose", "4", "--out", "x"], 2, "one was named"),
        ([marks, proposed / "marks.toml"], 2, "2 marks files"),
        (["--update"], 2, "needs a marks file"),
        ([marks, "--export", "x.stl"], 2, "no suffix that can be exported"),
        (["--propose", "0", "--out", "x"], 2, "from 1 to 200"),
        ([tmp_path / "no.toml"], 3, "no such marks file"),
    ):
        done = run("areas", stl, *arguments)
        assert done.returncode == code, (arguments, done.stderr)
        assert expected in done.stderr
    assert not (tmp_path / "x").exists()


def test_a_pixel_beside_the_figure_is_told_and_nothing_written(
    run: Run, stl: Path, proposed: Path, tmp_path: Path
) -> None:
    marks = _named(
        proposed, tmp_path / "mine.toml",
        '[[mark]]\narea = "button"\nview = "front"\nat = [2, 3]\n\n',
    )  # fmt: skip
    done = run("areas", stl, marks, "--out", "out", "--update")
    assert done.returncode == 3
    assert "shows no part of the figure" in done.stderr
    assert not (tmp_path / "out").exists()
    assert "at = [2, 3]" in marks.read_text(encoding="utf-8")
