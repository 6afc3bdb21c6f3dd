"""`fourpot readability` and the ranking of `fourpot compare`, as their users run them."""

from __future__ import annotations

import json
import re
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from preview.ramp.load import load_scheme
from tests.cli.conftest import SCHEME, Run

ALIKE = SCHEME.replace('mast = "wood"', 'mast = "tar"')
for _step in ("shadow = { cold = 2, brown = 1 }", "highlight = { midtone = 1, pale = 1 }"):
    ALIKE = ALIKE.replace(_step, "")


def test_everything_in_one_run(run: Run, two_solids: Path, scheme: Path, tmp_path: Path) -> None:
    done = run("readability", scheme, "--mesh", two_solids, "--out", "out", "--mend",
               "--distance", "2", "--distance", "0.6", "--eyes", "normal", "--eyes",
               "protan:0.8,age:70", "--lux", "gaming-table", "--lamp", "A", "--front", "1",
               "--elevation", "35")  # fmt: skip
    assert done.returncode == 0, done.stderr
    out = tmp_path / "out"
    for name in ("map.png", "map-0.6m.png", "eyes.png"):
        with Image.open(out / name) as picture:
            assert np.asarray(picture.convert("L")).std() > 5
    report = json.loads((out / "report.json").read_text(encoding="utf-8"))
    seen = [one["conditions"] for one in report["every_condition"]]
    assert [one["distance_m"] for one in seen] == [2.0, 0.6, 2.0, 0.6]
    assert seen[2]["eyes"] == {"age_years": 70.0, "deficiency": "protan", "severity": 0.8}
    assert {one["lux"] for one in seen} == {300.0}
    assert {one["illuminant"] for one in seen} == {"A"}
    assert report["views"]["elevation_deg"] == 35.0
    assert report["squint"]["masses"] >= 1
    assert set(report["files"]) <= {path.name for path in out.iterdir()}
    assert "2 m, protan 0.8, age 70" in done.stdout
    assert str(tmp_path) not in (out / "report.json").read_text(encoding="utf-8")

    # The page needs no other file and no network.
    page = (out / "report.html").read_text(encoding="utf-8")
    assert not re.findall(r'(?:src|href)="(?!data:)[^"]*"', page)
    assert "http" not in page
    assert page.count("<img") >= 3
    assert page.count('data-key="') >= 10
    assert "hull" in page


def test_mend_without_out_writes_beside_and_never_over(
    run: Run, two_solids: Path, scheme: Path, tmp_path: Path
) -> None:
    near = SCHEME.replace("{ brown = 1, warm = 1, pale = 2 }", "{ brown = 1, warm = 1 }")
    near = near.replace("highlight = { midtone = 1, pale = 1 }\n", "")
    scheme.write_text(near, encoding="utf-8")
    before = scheme.read_bytes()
    done = run("readability", scheme, "--mesh", two_solids, "--mend", "--quiet")
    assert done.returncode == 0, done.stderr
    assert scheme.read_bytes() == before
    written = tmp_path / "boat-mended.toml"
    assert written.exists(), "there was nothing to mend"
    assert load_scheme(written).title.endswith("mended")
    # Refused before any work.
    again = run("readability", scheme, "--mesh", two_solids, "--mend")
    assert again.returncode == 5
    assert "there already" in again.stderr
    assert "measuring" not in again.stderr


@pytest.mark.parametrize(
    ("options", "code", "says"),
    [
        (("--distance", "nan"), 2, "got nan"),
        (("--distance", "1", "--distance", "1e9"), 2, "got 1e+09"),
        (("--lux", "-5"), 2, "got -5"),
        (("--lux", "livingroom"), 2, "living-room"),
        (("--eyes", "deutn"), 2, "deutan"),
        (("--eyes", "deutan:nan"), 2, "nan"),
        (("--front", "0"), 2, "got 0"),
        (("--elevation", "90"), 2, "got 90"),
    ],
)
def test_what_makes_no_sense_is_refused_before_any_work(
    run: Run, two_solids: Path, scheme: Path, options: tuple[str, ...], code: int, says: str
) -> None:
    done = run("readability", scheme, "--mesh", two_solids, *options)
    assert done.returncode == code
    assert says in done.stderr
    assert "Traceback" not in done.stderr
    assert "measuring" not in done.stderr


def test_all_that_is_wrong_is_said_at_once(run: Run, two_solids: Path, scheme: Path) -> None:
    done = run("readability", scheme, "--mesh", two_solids, "--distance", "0.05", "--lux", "-3",
               "--eyes", "foo", "--eyes", "deutan:3")  # fmt: skip
    assert done.returncode == 2
    for said in ("0.05", "-3", "foo", "severity"):
        assert said in done.stderr


def test_a_mesh_of_one_area_is_said_plainly(run: Run, scheme: Path, tmp_path: Path) -> None:
    import trimesh

    trimesh.creation.box((8.0, 8.0, 30.0)).export(tmp_path / "post.stl")
    text = re.sub(r"\[areas\].*", '[areas]\nelsewhere = "tar"\n', SCHEME, flags=re.DOTALL)
    scheme.write_text(text, encoding="utf-8")
    done = run("readability", scheme, "--mesh", "post.stl", "--out", "out")
    assert done.returncode == 0, done.stderr
    assert "no border to judge" in done.stderr
    assert "single area" in done.stderr
    report = json.loads((tmp_path / "out" / "report.json").read_text(encoding="utf-8"))
    assert report["readable_share"] is None
    assert report["pairs"] == []
    assert "no border to judge" in (tmp_path / "out" / "report.html").read_text(encoding="utf-8")


def test_compare_ranks_by_the_worst_of_the_distances(
    run: Run, two_solids: Path, scheme: Path, tmp_path: Path
) -> None:
    alike = tmp_path / "alike.toml"
    alike.write_text(ALIKE.replace('"Boat"', '"Alike"'), encoding="utf-8")
    done = run("compare", alike, scheme, "--mesh", two_solids, "--out", "out", "--frames", "1",
               "--size", "80", "--distance", "0.6", "--distance", "1.5", "--json",
               "--quiet")  # fmt: skip
    assert done.returncode == 0, done.stderr
    report = json.loads(done.stdout)
    assert [row["place"] for row in report["ranking"]] == [1, 2]
    assert report["ranking"][0]["lowest_share"] > report["ranking"][1]["lowest_share"]
    assert report["ranking"][1]["title"] == "Alike"
    for one in report["schemes"]:
        assert [row["conditions"] for row in one["reads"]] == ["0.6 m", "1.5 m"]
    assert report["flip"][0]["mean"] > 0.02
    with Image.open(tmp_path / "out" / "flip.png") as picture:
        assert np.asarray(picture.convert("L")).std() > 5


def test_where_all_pairs_are_minor_nothing_reads(
    run: Run, two_solids: Path, scheme: Path, tmp_path: Path
) -> None:
    far = ("readability", scheme, "--mesh", two_solids, "--distance", "20", "--quiet")
    done = run(*far)
    assert done.returncode == 0, done.stderr
    assert "nothing reads" in done.stderr
    assert "No two areas" not in done.stderr
    assert done.stdout == ""
    assert run(*far, "--fail-below", "trace").returncode == 1
    assert run(*far, "--fail-below", "lost").returncode == 0
    report = run(*far, "--json", "--out", "out", "--fail-below", "readable")
    assert report.returncode == 1
    assert json.loads(report.stdout)["readable_share"] == 0.0
    assert "nothing reads" in (tmp_path / "out" / "readability.md").read_text(encoding="utf-8")


def test_nothing_to_judge_is_said_even_when_quiet(run: Run, scheme: Path, tmp_path: Path) -> None:
    import trimesh

    trimesh.creation.box((8.0, 8.0, 30.0)).export(tmp_path / "post.stl")
    text = re.sub(r"\[areas\].*", '[areas]\nelsewhere = "tar"\n', SCHEME, flags=re.DOTALL)
    scheme.write_text(text, encoding="utf-8")
    done = run("readability", scheme, "--mesh", "post.stl", "--quiet", "--fail-below", "strong")
    assert done.returncode == 0, done.stderr
    assert done.stdout == ""
    assert "no border to judge" in done.stderr
    assert "single area" in done.stderr
