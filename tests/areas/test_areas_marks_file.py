"""A marks file read, written, brought up to date; every slip in it told at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from preview.areas.analysis.analysis import Analysis
from preview.areas.analysis.regions import proposed
from preview.areas.marks.model import Camera, Spot
from preview.areas.marks.read import load_marks, read_marks
from preview.areas.marks.write import fingerprint_of, new_marks_text, updated_text
from preview.errors import MarksFault
from tests.areas.marked_bodies import snowman

WRONG = """
format = 2
colour = "red"

[areas]
coat = [3, 7]
hat = [7, "x", 2.5]
Coat = [4]

[split]
three = 3
4 = 1

[[mark]]
at = [1, 2, 3]

[[mark]]
area = "belt"
view = "front"
at = [10, 20]

[[mark]]
area = "eyes"
disc = 0.4
stroke = 0.2
at = [1, 2, 3]

[[mark]]
area = "strap"
stroke = 0.3
at = [[1, 2, 3]]

[[mark]]
area = "band"
heights = [5, 2]
"""


def _fault(text: str, folder: Path) -> str:
    path = folder / "marks.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(MarksFault) as caught:
        load_marks(path)
    return str(caught.value)


def test_all_slips_are_told_at_once(tmp_path: Path) -> None:
    said = _fault(WRONG, tmp_path)
    for expected in (
        "format 2 is not known",
        'unknown key "colour"',
        'number 7 is given to "coat" already',
        "got 'x'",
        "got 2.5",
        "differ by capitals or spaces only",
        '"three" is no region',
        "splits into 2 to 26, got 1",
        "area must be a name",
        'there is no view "front"',
        "one shape, got disc and stroke",
        "at least two places",
        "heights must rise",
    ):
        assert expected in said, expected
    assert 'mark[4] "strap"' in said


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("[areas]\ncoat = [1]\ncoat = [2]\n", "not valid TOML"),
        ("[areas]\ncoat = [1, 12a]\n", 'coat = [3, 7, "12a"]'),
        ("title = 'Boat'\n", "this is no marks file"),
        ("[[mark]]\narea = 'a'\nat = [1, 2, nan]\n", "list of 3 numbers"),
        ("[[mark]]\narea = 'a'\nat = [1, 2, 3]\nnormal = [0, 0, 0]\n", "points nowhere"),
        ("[[mark]]\narea = 'a'\nbelt = 1\nat = [[1, 2, 3], [4, 5, 6]]\n", "needs three places"),
        ("[[mark]]\narea = 'a'\nshell = 0\n", "shell must be a number from 1"),
        ("[[mark]]\narea = 'a'\nlooks_up = 120\n", "from -90 to 90"),
        ("[[mark]]\narea = 'a'\nlooks_up = 40\nmirror = true\n", "has no other side"),
        ("[areas]\n'a\\u0007' = 1\n[metric]\nsmooth = 1\n", "scale is missing"),
        ("[areas]\na = 1\n[figure]\nshape = []\n", "at least 8 places"),
        ("mark = 3\n", "mark must be a list"),
    ],
)
def test_one_slip_says_what_and_where(text: str, expected: str, tmp_path: Path) -> None:
    assert expected in _fault(text, tmp_path)


def test_a_misspelt_view_is_told_once_and_a_strange_key_hides_no_pixel(tmp_path: Path) -> None:
    path = tmp_path / "marks.toml"
    path.write_text(
        '[[mark]]\narea = "belt"\nvew = "front"\nat = [10, 20]\n'
        '[[mark]]\narea = "boot"\nview = "front"\ncolour = "red"\nat = [10, 20]\n'
        '[[mark]]\narea = "hat"\nview = ""\nat = [10, 20]\n',
        encoding="utf-8",
    )
    assert [(f.where[-6:], f.what) for f in read_marks(path).faults] == [
        ('"belt"', 'unknown key "vew"'),
        ('"boot"', 'unknown key "colour"'),
        (' "hat"', "view must be a name in quotes, got ''"),
        ('"boot"', 'there is no view "front"'),
    ]


def test_what_places_rest_on_stops_the_reading_and_a_broken_view_does_not(tmp_path: Path) -> None:
    path = tmp_path / "marks.toml"
    pixel = '[[mark]]\narea = "belt"\nview = "front"\nat = [10, 20]\n'
    path.write_text('[areas]\na = 1\n[metric]\nscale = "x"\n' + pixel, encoding="utf-8")
    with pytest.raises(MarksFault, match="scale must be") as caught:
        read_marks(path)
    assert len(caught.value.faults) == 2
    camera = '[views.front]\ntarget = [0, 0, 0]\nmm_per_pixel = "x"\nsize = [99, 99]\n'
    path.write_text("[areas]\na = 1\n" + camera + pixel, encoding="utf-8")
    assert [fault.what[:12] for fault in read_marks(path).faults] == ["mm_per_pixel"]


def test_files_that_are_none(tmp_path: Path) -> None:
    with pytest.raises(MarksFault, match="no such marks file"):
        load_marks(tmp_path / "missing.toml")
    with pytest.raises(MarksFault, match="a folder is no marks file"):
        load_marks(tmp_path)
    (tmp_path / "b.toml").write_bytes(b"\xff\xfe\x00areas")
    with pytest.raises(MarksFault, match="not UTF-8"):
        load_marks(tmp_path / "b.toml")


def test_a_new_file_reads_back_with_all_that_was_written(tmp_path: Path) -> None:
    sculpt, _ = snowman(0.8)
    analysis = Analysis(sculpt.vertices, sculpt.faces)
    proposal = proposed(analysis, 5)
    figure = fingerprint_of('odd "name" \\ é', len(sculpt.faces), analysis.surface)
    camera = Camera((0.0, 0.5, 15.0), 45.0, 12.0, 400.0, 0.05, (760, 760))
    text = new_marks_text("m.toml", "s.stl", figure, analysis.metric, 5, proposal.regions,
                          {"front left": camera})  # fmt: skip
    path = tmp_path / "m.toml"
    path.write_text(text, encoding="utf-8")
    marks = load_marks(path)
    assert marks.figure == figure
    assert marks.views == {"front left": camera}
    assert marks.count == 5
    assert list(marks.regions) == ["1", "2", "3", "4", "5"]
    assert marks.metric is not None
    assert marks.metric.scale == pytest.approx(analysis.metric.scale, rel=1e-8)
    for region in proposal.regions:
        assert marks.regions[region.name].at == pytest.approx(region.at, abs=6e-4)


def test_bringing_a_file_up_to_date_keeps_its_comments(tmp_path: Path) -> None:
    sculpt, _ = snowman(0.8)
    analysis = Analysis(sculpt.vertices, sculpt.faces)
    figure = fingerprint_of("snowman", len(sculpt.faces), analysis.surface)
    text = (
        "# mine\n[areas]\nbelly = [1]  # the round one\n\n[[mark]]\narea = 'nose'  # red\n"
        "view = 'front'\nat = [3, 4]\n\n[views.front]\ntarget = [0, 0, 0]\nazimuth = 0\n"
        "elevation = 0\ndistance = 0\nmm_per_pixel = 0.1\nsize = [10, 10]\n"
    )
    path = tmp_path / "m.toml"
    path.write_text(text, encoding="utf-8")
    marks = load_marks(path)
    from dataclasses import replace

    spot = Spot((1.0, 2.0, 3.0), (0.0, -1.0, 0.0))
    placed = replace(marks, marks=(replace(marks.marks[0], spots=(spot,)),))
    for _ in range(2):
        text = updated_text(text, placed, figure, analysis.metric, {"1": spot}, marks.views)
        path.write_text(text, encoding="utf-8")
        again = load_marks(path)
        assert again.marks[0].spots == (spot,)
        assert again.figure == figure
    for kept in ("# mine", "# the round one", "# red"):
        assert text.count(kept) == 1
    assert text.count("[figure]") == 1
