"""Every command from its options to its files and exit code."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from functools import partial
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tests.cli.conftest import SCHEME, Run


def test_mix_tells_lab_srgb_reflectance_and_certainty(run: Run) -> None:
    done = run("mix", "harbour", "rust orange=2", "deep sea blue=1", "--json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert len(told["lab"]) == 3
    assert len(told["reflectance"]) == 31
    assert told["srgb"].startswith("#")
    assert told["certainty"] == "estimate"
    assert told["drops"] == {"rust orange": 2, "deep sea blue": 1}


def test_mix_writes_a_swatch_of_its_colour(run: Run, tmp_path: Path) -> None:
    done = run("mix", "harbour", "rust orange=2", "deep sea blue=1", "--out", "swatch")
    assert done.returncode == 0, done.stderr
    told = json.loads((tmp_path / "swatch" / "report.json").read_text(encoding="utf-8"))
    with Image.open(tmp_path / "swatch" / "swatch.png") as card:
        red, green, blue = card.getpixel((450, 180))
    assert f"#{red:02x}{green:02x}{blue:02x}" == told["srgb"]


def test_areas_lists_names_faces_and_size(run: Run, two_solids: Path, tmp_path: Path) -> None:
    done = run("areas", two_solids, "--json", "--out", "areas")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    rows = {row["name"]: row for row in told["areas"]}
    assert list(rows) == ["hull", "mast"]
    # A box of 12 x 20 x 8; a round mast's foot stands on it and hides nothing but itself.
    assert rows["hull"]["mm2"] == pytest.approx(2 * (12 * 20 + 12 * 8 + 20 * 8), rel=1e-3)
    assert isinstance(told["repaired"], list)
    with Image.open(tmp_path / "areas" / "areas.png") as picture:
        assert np.asarray(picture).std() > 10


def test_paint_writes_all_its_files(
    run: Run, two_solids: Path, scheme: Path, tmp_path: Path
) -> None:
    done = run(
        "paint", scheme, "--mesh", two_solids, "--out", "out", "--frames", "3", "--size", "120"
    )
    assert done.returncode == 0, done.stderr
    out = tmp_path / "out"
    expected = ["frame-000.png", "frame-001.png", "frame-002.png", "turntable.webp"]
    expected += ["turntable.gif", "sheet.png", "value.png", "report.json", "report.md"]
    for name in expected:
        assert (out / name).stat().st_size > 0
    report = json.loads((out / "report.json").read_text(encoding="utf-8"))
    assert {row["area"] for row in report["areas"]} == {"hull", "mast"}
    assert report["readability"]["pairs"]
    assert report["cautions"]
    assert [c["picture"] for c in report["cameras"]] == expected[:3]
    assert str(tmp_path) not in (out / "report.json").read_text(encoding="utf-8")


def test_the_same_command_gives_the_same_bytes(
    run: Run, two_solids: Path, scheme: Path, tmp_path: Path
) -> None:
    for out in ("one", "two"):
        done = run("paint", scheme, "--mesh", two_solids, "--out", out, "--frames", "2",
                   "--size", "100", "--renderer", "rays", "--quiet")  # fmt: skip
        assert done.returncode == 0, done.stderr
    for made in (tmp_path / "one").iterdir():
        assert made.read_bytes() == (tmp_path / "two" / made.name).read_bytes(), made.name


def test_compare_sets_schemes_side_by_side(
    run: Run, two_solids: Path, scheme: Path, tmp_path: Path
) -> None:
    other = tmp_path / "other.toml"
    other.write_text(SCHEME.replace('hull = "tar"', 'hull = "wood"'), encoding="utf-8")
    done = run("compare", scheme, other, "--mesh", two_solids, "--out", "out",
               "--frames", "2", "--size", "90", "--json", "--quiet")  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert len(json.loads(done.stdout)["schemes"]) == 2
    with Image.open(tmp_path / "out" / "frame-000.png") as frame:
        assert frame.size == (180, 90)
        left, right = np.split(np.asarray(frame).astype(int), 2, axis=1)
    assert np.abs(left - right).max() > 20


def test_readability_fails_below_a_grade_when_asked(
    run: Run, two_solids: Path, scheme: Path
) -> None:
    alike = SCHEME.replace('mast = "wood"', 'mast = "tar"')
    for step in ("shadow = { cold = 2, brown = 1 }", "highlight = { midtone = 1, pale = 1 }"):
        alike = alike.replace(step, "")
    scheme.write_text(alike, encoding="utf-8")
    done = run("readability", scheme, "--mesh", two_solids, "--fail-below", "visible")
    assert done.returncode == 1
    assert "lost" in done.stdout
    assert run("readability", scheme, "--mesh", two_solids).returncode == 0


def test_start_writes_a_scheme_that_paints(run: Run, two_solids: Path, tmp_path: Path) -> None:
    done = run("start", two_solids, "--rack", "harbour", "--out", "begun")
    assert done.returncode == 0, done.stderr
    written = tmp_path / "begun" / "boat.toml"
    assert done.stdout.strip().endswith("boat.toml")
    # How its pots were chosen, and the command that ranks others
    assert f"fourpot choose harbour --mesh {two_solids}" in done.stderr
    painted = run("paint", written, "--out", "out", "--frames", "1", "--size", "90", "--quiet")
    assert painted.returncode == 0, painted.stderr
    again = run("start", two_solids, "--rack", "harbour", "--out", "begun")
    assert again.returncode == 5
    assert "there already" in again.stderr


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        (["mix", "harbour", "rust orange=0"], 2, "whole number"),
        (["mix", "harbour", "rust orange"], 2, "PAINT=DROPS"),
        (["mix", "harbour", "rusty orange=2"], 2, "rust orange"),
        (["mix", "nowhere", "rust orange=2"], 3, "nowhere"),
        (["areas", "missing.stl"], 3, "missing.stl"),
        (["areas", "."], 3, "folder"),
        (["paint", "missing.toml"], 3, "missing.toml"),
        (["paint", "missing.toml", "--frames", "0"], 2, "--frames"),
        (["paint", "missing.toml", "--lamp", "D56"], 2, "D65"),
        (["readability", "missing.toml", "--distance", "nan"], 2, "--distance"),
        (["readability", "missing.toml", "--fail-below", "good"], 2, "readable"),
        (["paint"], 2, "SCHEME"),
        (["sing"], 2, "sing"),
    ],
)
def test_mistakes_get_one_clear_message_and_their_code(
    run: Run, arguments: list[str], code: int, words: str, tmp_path: Path
) -> None:
    done = run(*arguments)
    assert done.returncode == code, done.stderr
    assert words in done.stderr
    assert "Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_written_is_named(
    run: Run, two_solids: Path, scheme: Path, tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("in the way")
    done = run("paint", scheme, "--mesh", two_solids, "--out", "file/out",
               "--frames", "1", "--size", "80")  # fmt: skip
    assert done.returncode == 5
    assert "--out" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.skipif(os.name == "nt", reason="Ctrl-C is sent another way on Windows")
def test_ctrl_c_leaves_nothing_behind(two_solids: Path, scheme: Path, tmp_path: Path) -> None:
    command = [sys.executable, "-m", "preview", "paint", str(scheme), "--mesh", str(two_solids),
               "--out", "out", "--frames", "720", "--size", "600"]  # fmt: skip
    # What runs in the background of a shell is born deaf to Ctrl-C, and its children with it.
    hears = partial(signal.signal, signal.SIGINT, signal.SIG_DFL)
    working = subprocess.Popen(
        command, cwd=tmp_path, stderr=subprocess.PIPE, text=True, preexec_fn=hears
    )
    deadline = time.monotonic() + 120
    while not list(tmp_path.glob(".out-*/frame-*.png")) and time.monotonic() < deadline:
        time.sleep(0.05)
    working.send_signal(signal.SIGINT)
    _, said = working.communicate(timeout=30)
    assert working.returncode == 130
    assert "Traceback" not in said
    assert [p.name for p in tmp_path.iterdir() if p.name != "cache"] == ["boat.toml"]
