"""Slips that a painter makes, each told once, at once, with its cause and its remedy."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from preview.cli import app
from preview.errors import WriteFault
from preview.settings import GRADES, LAMPS, MM_PER_UNIT, UP_AXES
from tests.cli.conftest import SCHEME, Run, refused


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.mark.parametrize("command", ["paint", "readability"])
def test_a_mesh_given_as_scheme_is_told_how_to_begin_one(command: str, two_solids: Path) -> None:
    error = refused(command, two_solids)
    assert error.exit_code == 3
    assert "this is a mesh, not a scheme" in str(error)
    assert f"fourpot start {two_solids} --rack harbour" in str(error)


def test_a_scheme_given_as_mesh_is_told_what_runs_it(scheme: Path) -> None:
    alone = refused("areas", scheme)
    assert alone.exit_code == 2
    for error in (alone, refused("start", scheme, "--rack", "harbour")):
        assert "scheme or a marks file" in str(error)
        assert f"fourpot paint {scheme}" in str(error)
        assert ".stl" not in str(error)


def test_a_mesh_that_is_missing_gets_the_nearest_name_of_its_folder(here: Path) -> None:
    for name in ("buoy.stl", "keeper.glb", "keeper.txt"):
        (here / name).write_text("x")
    error = refused("areas", here / "kepper.glb")
    assert error.faults[0].fix == 'did you mean "keeper.glb"?'
    far = refused("areas", here / "zzzzzzz.ply")
    assert far.faults[0].fix == "mesh files in its folder: buoy.stl, keeper.glb"


def test_a_mesh_that_the_scheme_names_is_missed_there(here: Path, scheme: Path) -> None:
    scheme.write_text('mesh = "baot.stl"\n' + SCHEME, encoding="utf-8")
    (here / "boat.stl").write_text("x")
    fault = refused("paint", scheme).faults[0]
    assert fault.where.startswith("boat.toml, mesh")
    assert fault.fix == 'did you mean "boat.stl"?'
    given = refused("paint", scheme, "--mesh", here / "baot.stl").faults[0]
    assert "boat.toml" not in given.where


def test_no_mesh_can_be_mended_in_the_scheme_as_well(here: Path, scheme: Path) -> None:
    assert 'mesh = "FILE"' in str(refused("paint", scheme))


def test_one_scheme_cannot_be_compared(here: Path, scheme: Path, two_solids: Path) -> None:
    error = refused("compare", scheme, "--mesh", two_solids)
    assert error.exit_code == 2
    assert f"fourpot paint {scheme}" in str(error)
    assert not (here / "fourpot-compare").exists()


@pytest.mark.parametrize("command", ["paint", "compare", "readability", "areas"])
def test_a_folder_that_cannot_be_written_is_refused_before_any_work(
    command: str, here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (here / "file").write_text("in the way")
    (here / "full").mkdir()
    (here / "full" / "mine.txt").write_text("mine")
    # Neither scheme nor mesh is there: whoever reads them first gives another error.
    names = ["no.toml", "none.toml"] if command == "compare" else ["no.toml"]
    if command == "areas":
        names = ["no.stl"]
    for out in ("file", "file/out", "full"):
        error = refused(command, *names, "--out", here / out)
        assert isinstance(error, WriteFault), error
        assert "--out" in str(error)
    assert sorted(p.name for p in here.iterdir()) == ["file", "full"]


def test_start_without_a_rack_names_those_that_can_be_found(here: Path, two_solids: Path) -> None:
    (here / "shelf.toml").write_text('[[paint]]\nname = "a"\nsrgb = "#123456"\n')
    error = refused("start", two_solids, "--racks", here)
    assert error.exit_code == 2
    for name in ("shelf", "harbour", "pigments"):
        assert name in error.faults[0].fix


def test_start_refuses_before_it_reads_the_mesh(here: Path) -> None:
    (here / "no.toml").write_text("mine")
    error = refused("start", here / "no.stl", "--rack", "harbour")
    assert isinstance(error, WriteFault)
    assert "habour" in str(refused("start", here / "none.stl", "--rack", "habour"))


@pytest.mark.parametrize(
    ("arguments", "says", "not_says"),
    [
        (["--figure-mm", "0.5"], "the file's own height", "for 32"),
        (["--spread", "2"], "the rig's own", "for 0.75"),
        (["--turn", "400"], "from -360 to 360 degrees", "for 0"),
    ],
)
def test_what_leaving_an_option_out_means_is_true(
    arguments: list[str], says: str, not_says: str
) -> None:
    said = str(refused("paint", "no.toml", *arguments))
    assert says in said
    assert not_says not in said


@pytest.mark.parametrize(
    ("arguments", "what", "fix"),
    [
        (["paint", "x.toml", "--size", "big"], '--size must be a whole number, got "big"', "64 to"),
        (["paint", "x.toml", "--elevation=up"], '--elevation must be a number, got "up"', "-80 to"),
        (["paint", "x.toml", "--siez", "5"], "no such option: --siez", 'did you mean "--size"?'),
        (["paint", "x.toml", "--size"], "--size needs a value", "paint --help"),
        (["mix"], "RACK is missing", "a rack's name"),
        (["pain"], 'no such command "pain"', 'did you mean "paint"?'),
    ],
)
def test_slips_of_the_command_line_have_the_shape_of_all_others(
    arguments: list[str], what: str, fix: str, run: Run
) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    said = done.stderr.splitlines()
    assert said[0] == f"fourpot: {what}"
    assert said[1] == "  where: command line"
    assert said[2].startswith("  fix:   ")
    assert fix in said[2]
    assert len(said) == 3


def test_the_bare_command_shows_its_help(run: Run) -> None:
    done = run()
    assert done.returncode == 2
    assert "readability" in done.stderr
    assert done.stdout == ""


def test_json_is_silent_on_progress(
    run: Run, two_solids: Path, scheme: Path, tmp_path: Path
) -> None:
    other = tmp_path / "other.toml"
    other.write_text(SCHEME.replace('hull = "tar"', 'hull = "wood"'), encoding="utf-8")
    small = ["--mesh", two_solids, "--frames", "1", "--size", "80", "--json"]
    for command in (["paint", scheme], ["compare", scheme, other]):
        done = run(*command, *small)
        assert done.returncode == 0, done.stderr
        assert json.loads(done.stdout)
        assert done.stderr == ""


def test_a_mesh_that_was_cut_off_is_warned_of_first(
    run: Run, tmp_path: Path, two_solids: Path
) -> None:
    import trimesh

    ball = trimesh.creation.icosphere(3, 15.0)
    whole = ball.export(file_type="stl")
    (tmp_path / "ball.stl").write_bytes(whole[: int(len(whole) * 0.8)])
    for quiet in ([], ["--json"]):
        done = run("areas", "ball.stl", "--quiet", *quiet)
        assert done.returncode == 0
        assert done.stderr.startswith("warning: the file is cut off: ")
        assert "mended: the file is cut" not in done.stderr
    assert json.loads(done.stdout)["warnings"]


def test_help_lists_what_is_valid(run: Run) -> None:
    told = " ".join(run("readability", "--help").stdout.split())
    for words in (MM_PER_UNIT, UP_AXES, LAMPS, GRADES[1:]):
        assert ", ".join(words) in told


def test_a_turn_asked_for_prevails_over_that_of_the_scheme(
    here: Path, scheme: Path, two_solids: Path
) -> None:
    from preview.cli.request import Request

    scheme.write_text("turn = 90\n" + SCHEME, encoding="utf-8")
    for turn, expected in ((None, 90.0), (0.0, 0.0), (-45.0, -45.0)):
        request = Request(mesh=[two_solids], turn=turn, quiet=True)
        sculpt = request.sculpt(request.scheme(scheme))
        assert sculpt.placement.turn_deg == expected


def test_a_started_scheme_keeps_the_turn(here: Path, two_solids: Path) -> None:
    app(["start", str(two_solids), "--rack", "harbour", "--turn", "180", "--quiet"],
        standalone_mode=False)  # fmt: skip
    assert "\nturn = 180\n" in (here / "boat.toml").read_text(encoding="utf-8")
