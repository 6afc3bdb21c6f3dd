"""Areas on a single solid from the command line: proposal, names, marks, export, paint."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from preview.areas.marks.read import load_marks
from preview.cli import app
from preview.errors import FourpotError, MarksFault, WriteFault
from tests.areas.marked_bodies import snowman
from tests.areas.small_meshes import box, write_stl
from tests.cli.conftest import Run
from tests.cli.test_commands import SCHEME


@pytest.fixture
def stl(tmp_path: Path) -> Path:
    sculpt, _ = snowman(0.8)
    mesh = sculpt.vertices.astype(np.float64), sculpt.faces.astype(np.int64)
    return write_stl(tmp_path / "snowman.stl", mesh)


@pytest.fixture(scope="module")
def once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A proposal, made once."""
    from preview.areas.load import load_sculpt
    from preview.publish_marks import Asked, publish_proposal

    folder = tmp_path_factory.mktemp("once")
    sculpt, _ = snowman(0.8)
    mesh = sculpt.vertices.astype(np.float64), sculpt.faces.astype(np.int64)
    path = write_stl(folder / "snowman.stl", mesh)
    publish_proposal(load_sculpt(path), [path], 3, Asked(folder / "sheet"))
    return folder / "sheet"


@pytest.fixture
def proposed(once: Path, tmp_path: Path) -> Path:
    """The proposal in a folder of the test's own."""
    return Path(shutil.copytree(once, tmp_path / "sheet"))


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


@pytest.mark.parametrize(
    ("header", "first", "second"),
    [(b"COLOR=\xff\xff\xff\xff", 31, 31 << 10), (b"", 0x8000 | 31 << 10, 0x8000 | 31)],
    ids=["red lowest", "blue lowest"],
)
def test_a_proposal_says_that_colours_of_an_stl_are_areas_already(
    header: bytes, first: int, second: int, tmp_path: Path
) -> None:
    sculpt, _ = snowman(0.8)
    mesh = sculpt.vertices.astype(np.float64), sculpt.faces.astype(np.int64)
    high = sculpt.corners[:, :, 2].mean(axis=1) > 15.0
    stl = write_stl(tmp_path / "two.stl", mesh, header, words=np.where(high, first, second))
    _in_this_process(stl, ["--propose", "3", "--out", tmp_path / "sheet"])
    report = json.loads((tmp_path / "sheet" / "report.json").read_text(encoding="utf-8"))
    said = report["notes"][0]
    assert "2 areas of its own (the 2 colours of the mesh)" in said
    by_name = {area["name"]: area["faces"] for area in report["areas"]}
    assert by_name == {"#ff0000": int(high.sum()), "#0000ff": int((~high).sum())}


def test_a_marks_file_that_may_hold_names_is_not_written_over(stl: Path, proposed: Path) -> None:
    mine = _named(proposed, proposed / "marks.toml")
    before = mine.read_bytes()
    with pytest.raises(WriteFault, match="may hold your names"):
        _in_this_process(stl, ["--propose", "5", "--out", proposed])
    assert mine.read_bytes() == before


def test_folders_whose_marks_file_nobody_edited_are_refreshed(
    stl: Path, proposed: Path, tmp_path: Path
) -> None:
    mine, shown = _named(proposed, tmp_path / "mine.toml"), tmp_path / "shown"
    _in_this_process(stl, ["--propose", "2", "--out", proposed])
    report = json.loads((proposed / "report.json").read_text(encoding="utf-8"))
    assert len(report["regions"]) == 2
    _in_this_process(stl, [mine, "--out", shown])
    mine.write_text(mine.read_text(encoding="utf-8").replace("hull", "keel"), encoding="utf-8")
    _in_this_process(stl, [mine, "--out", shown])
    assert "keel = [1]" in (shown / "marks.toml").read_text(encoding="utf-8")
    with pytest.raises(WriteFault, match="may hold your names"):
        _in_this_process(stl, ["--propose", "2", "--out", shown])
    text = (shown / "marks.toml").read_text(encoding="utf-8").replace("keel", "stem")
    (shown / "marks.toml").write_text(text, encoding="utf-8")
    with pytest.raises(WriteFault, match="may hold your names"):
        _in_this_process(stl, [mine, "--out", shown])
    _in_this_process(stl, ["--out", shown])
    assert (shown / "marks.toml").read_text(encoding="utf-8") == text


def test_names_and_a_picked_pixel_become_areas_and_paint(
    run: Run, stl: Path, proposed: Path, tmp_path: Path
) -> None:
    marks = _named(
        proposed,
        tmp_path / "mine.toml",
        '[[mark]]\narea = "button"\ndisc = 3.0\nview = "front"\nat = [380, 500]\n\n',
    )
    done = run("areas", stl, marks, "--out", "out", "--export", "out.3mf", "--update", "--json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert {row["name"] for row in told["areas"]} == {"hull", "mast", "top knot", "button"}
    assert told["unmarked_mm2"] == 0
    assert {frozenset((t["one"], t["other"])) for t in told["touching"]} >= {
        frozenset(("hull", "mast"))
    }
    text = (tmp_path / "out" / "marks.toml").read_text(encoding="utf-8")
    assert 'view = "front"\nat = [380, 500]' not in text
    assert marks.read_text(encoding="utf-8") == text
    assert "hull = [1]" in text
    settled = load_marks(marks).settled
    assert settled is not None
    assert set(settled.areas) == {"hull", "mast", "top knot"}
    exported = json.loads(run("areas", "out.3mf", "--json").stdout)
    assert {r["name"] for r in exported["areas"]} == {r["name"] for r in told["areas"]}

    scheme = tmp_path / "boat.toml"
    head = 'mesh = "snowman.stl"\nmarks = "mine.toml"\n'
    scheme.write_text(head + SCHEME + '"top knot" = "wood"\nbutton = "tar"\n', encoding="utf-8")
    done = run("paint", scheme, "--out", "p", "--frames", "1", "--size", "90", "--json")
    assert done.returncode == 0, done.stderr
    assert len(json.loads(done.stdout)["areas"]) == 4
    named = run("readability", scheme, "--mesh", stl, "--marks", "out/marks.toml", "--json")
    assert json.loads(named.stdout)["pairs"]


def test_a_scheme_to_begin_from_names_the_marks(
    run: Run, stl: Path, proposed: Path, tmp_path: Path
) -> None:
    """From a proposal with names to a scheme, each step told by the one before."""
    marks = _named(proposed, tmp_path / "mine.toml")
    shown = run("areas", stl, marks, "--turn", "0")
    assert f"fourpot start {stl} --marks {marks} --turn 0 --rack RACK" in shown.stderr
    begun = run("start", stl, "--marks", marks, "--rack", "harbour", "--out", "begun")
    assert begun.returncode == 0, begun.stderr
    assert f"fourpot choose harbour --mesh {stl} --marks {marks}" in begun.stderr
    scheme = tmp_path / "begun" / "snowman.toml"
    text = scheme.read_text(encoding="utf-8")
    assert 'marks = "../mine.toml"' in text
    assert all(f"{area} = " in text for area in ("hull", "mast", '"top knot"'))


def _in_this_process(stl: Path, arguments: list[object]) -> None:
    """Run the command without a process of its own."""
    app(["areas", str(stl), *map(str, arguments), "--quiet"], standalone_mode=False)


def test_quiet_leaves_the_table_alone(
    stl: Path, proposed: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    marks = _named(proposed, tmp_path / "mine.toml")
    capsys.readouterr()
    _in_this_process(stl, [marks, "--out", tmp_path / "quiet"])
    said = capsys.readouterr()
    assert said.err == ""
    assert said.out.startswith("area")
    app(["areas", str(stl), str(marks), "--out", str(tmp_path / "told")], standalone_mode=False)
    told = capsys.readouterr()
    assert told.out == said.out
    assert "mm tall" in told.err
    assert "picture" in told.err


def test_a_proposal_for_a_symmetric_figure_says_so_in_its_file(stl: Path, tmp_path: Path) -> None:
    _in_this_process(stl, ["--propose", "3", "--out", tmp_path / "sheet"])
    assert load_marks(tmp_path / "sheet" / "marks.toml").mirror
    report = json.loads((tmp_path / "sheet" / "report.json").read_text(encoding="utf-8"))
    assert any("count on both sides" in note for note in report["notes"])
    _in_this_process(stl, ["--propose", "3", "--no-mirror", "--out", tmp_path / "apart"])
    assert not load_marks(tmp_path / "apart" / "marks.toml").mirror


def test_requests_that_do_not_fit_are_refused(stl: Path, proposed: Path, tmp_path: Path) -> None:
    marks = _named(proposed, tmp_path / "mine.toml")
    for arguments, code, expected in (
        (["--propose", "4"], 2, "needs a folder"),
        ([marks, "--propose", "4", "--out", "x"], 2, "one was named"),
        ([marks, proposed / "marks.toml"], 2, "2 marks files"),
        (["--update"], 2, "needs a marks file"),
        (["--mirror"], 2, "belong to a proposal"),
        ([marks, "--export", "x.stl"], 2, "no suffix that can be exported"),
        (["--propose", "0", "--out", "x"], 2, "from 1 to 200"),
        ([tmp_path / "no.toml"], 3, "no such marks file"),
    ):
        with pytest.raises(FourpotError, match=expected) as caught:
            _in_this_process(stl, arguments)
        assert caught.value.exit_code == code
    assert not (tmp_path / "x").exists()


# One slip of each kind, those of the file itself first: nobody should have to run it ten times.
SLIPS = """
[[mark]]
area = "button"
view = "front"
at = [2, 3]
[[mark]]
area = "badge"
view = "above"
at = [2, 3]
[[mark]]
area = "braid"
stroke = -1
at = [[0.0, -60.0, 8.0], [0.0, -8.0, 8.0]]
[[mark]]
area = "brim"
heights = [5, 2]
colour = "red"
[[mark]]
area = "buckle"
disc = 1.0
at = [[0.0, -40.0, 8.0]]
[[mark]]
area = "plinth"
shell = 7
[[mark]]
area = "left eye"
disc = 2.0
at = [[0.0, -5.6, 19.0]]
[[mark]]
area = "right eye"
disc = 2.0
at = [[0.0, -5.6, 19.0]]
"""
TOLD = (
    'mark[1] "button"', "shows no part of the figure",
    'no view "above"',
    "stroke must be", "52.01 mm off the surface", 'mark[3] "braid", place 1',
    "heights must rise", 'unknown key "colour"',
    "32.01 mm off the surface",
    "there is no shell 7",
    '"right eye" and "left eye" cover the same faces',
    "the proposal has no region 99", "the proposal has no region 88 to split",
    "the proposal has no region 77 to split",
    "split, 2", "a region splits into",
)  # fmt: skip


def test_all_that_is_wrong_is_told_at_once_and_nothing_written(
    stl: Path, proposed: Path, tmp_path: Path
) -> None:
    marks = _named(proposed, tmp_path / "mine.toml", SLIPS)
    text = marks.read_text(encoding="utf-8")
    text = text.replace("hull = [1]", "hull = [1, 99]", 1).replace("[2]", '["2a"]', 1)
    text = text.replace("[split]\n", "[split]\n2 = 1\n88 = 2\n77 = 3\n", 1)
    marks.write_text(text, encoding="utf-8")
    with pytest.raises(MarksFault) as caught:
        _in_this_process(stl, [marks, "--out", tmp_path / "out", "--update"])
    said = str(caught.value)
    assert [expected for expected in TOLD if expected not in said] == []
    # No slip draws another after it: part 2a of the split that could not be read, say.
    assert len(caught.value.faults) == len(TOLD) - 3
    assert not (tmp_path / "out").exists()
    assert marks.read_text(encoding="utf-8") == text


def test_slips_are_told_with_that_the_file_is_for_another_figure(
    proposed: Path, tmp_path: Path
) -> None:
    marks = _named(proposed, tmp_path / "mine.toml", '[[mark]]\narea = "brim"\nheights = [5, 2]\n')
    cube = write_stl(tmp_path / "cube.stl", box((0, 0, 0), (20, 9, 14)))
    with pytest.raises(MarksFault) as caught:
        _in_this_process(cube, [marks])
    assert [fault.what.split(",")[0] for fault in caught.value.faults] == [
        "heights must rise", "the marks do not fit this mesh: even at best",
    ]  # fmt: skip
