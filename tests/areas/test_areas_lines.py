"""A growing mark with several places grows from the line through them."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from preview.areas.analysis.analysis import Analysis
from preview.areas.marks.apply import MarkedFigure
from preview.areas.marks.model import POINT, SHELL, Mark, Spot
from preview.areas.marks.read import load_marks
from preview.areas.sculpt import Sculpt
from preview.errors import MarksFault
from tests.areas.marked_bodies import (
    Point,
    marks_of,
    names_of,
    point_mark,
    touching_balls,
)
from tests.areas.small_meshes import ball
from tests.sculpts import sculpt_of

BELLY, CHEST, HEAD = (0.0, -8.0, 8.0), (0.0, -5.6, 19.0), (0.0, -3.6, 26.5)
BACK = (0.0, 8.0, 8.0)


def _line(area: str, *places: Point) -> Mark:
    return Mark(area, POINT, f'test, mark "{area}"', tuple(Spot(at) for at in places))


@pytest.mark.parametrize(
    ("body", "head", "chest_is"),
    [((BELLY, CHEST), (HEAD,), "body"), ((BELLY,), (CHEST, HEAD), "head")],
    ids=["from below", "from above"],
)
def test_a_line_holds_every_part_that_it_runs_over(
    body: tuple[Point, ...],
    head: tuple[Point, ...],
    chest_is: str,
    man: tuple[Sculpt, np.ndarray],
    figure: MarkedFigure,
) -> None:
    names = names_of(figure.apply(marks_of(_line("body", *body), _line("head", *head))).sculpt)
    for part, area in ((0, "body"), (1, chest_is), (2, "head")):
        inside = man[1] == part
        assert man[0].mm2[inside & (names == area)].sum() > 0.97 * man[0].mm2[inside].sum()


def test_a_line_runs_from_face_to_face_as_short_as_the_ball_allows() -> None:
    sculpt = sculpt_of(*ball((0.0, 0.0, 10.0), 10.0, 60))
    analysis = Analysis(sculpt.vertices, sculpt.faces)
    surface = analysis.surface
    low = int(np.argmin(np.linalg.norm(surface.centre - (10.0, 0.0, 10.0), axis=1)))
    high = int(np.argmin(np.linalg.norm(surface.centre - (0.0, 10.0, 10.0), axis=1)))
    line = analysis.lines.between(low, high).faces.tolist()
    assert (line[0], line[-1]) == (low, high)
    beside = {frozenset(p) for p in np.stack((surface.left, surface.right), axis=1).tolist()}
    assert all(frozenset(pair) in beside for pair in pairwise(line))
    # A quarter of a great circle; steps between the middles of triangles zigzag a little.
    long = float(np.linalg.norm(np.diff(surface.centre[line], axis=0), axis=1).sum())
    assert 0.98 <= long / (np.pi / 2 * 10.0) <= 1.25


def test_a_line_keeps_off_a_crease_where_the_shortest_way_runs_in_it(figure: MarkedFigure) -> None:
    surface, places = figure.analysis.surface, figure.analysis.places
    ends = (0.0, -8.0, 13.0), (0.0, 8.0, 13.0)
    one, other = (places.nearest(np.array(at), None).face for at in ends)
    plain = surface.plain_ways()
    plain.add(np.array([other]))

    def in_the_crease(line: np.ndarray) -> int:
        # Belly and chest meet at a height of 14.98 mm.
        return int((np.abs(surface.centre[line][:, 2] - 14.98) < 0.6).sum())

    assert in_the_crease(figure.analysis.lines.between(one, other).faces) < 0.5 * in_the_crease(
        plain.way(one)
    )


def test_over_a_flat_fan_of_long_triangles_a_line_runs_straight() -> None:
    turn = np.linspace(0.0, 2 * np.pi, 64, endpoint=False)
    rim = np.stack((10 * np.cos(turn), 10 * np.sin(turn), np.zeros(64)), axis=1)
    top, bottom = np.arange(64), np.arange(64) + 64
    after = np.roll(top, -1)
    vertices = np.concatenate((rim + np.array((0, 0, 2)), rim, [(0, 0, 2), (0, 0, 0)]))
    faces = np.concatenate([
        np.stack(three, axis=1)
        for three in ((top, after, np.full(64, 128)), (bottom + 0, np.full(64, 129), after + 64),
                      (bottom, after + 64, top), (after + 64, after, top))
    ])  # fmt: skip
    analysis = Analysis(vertices.astype(np.float32), faces.astype(np.int32))
    surface, places = analysis.surface, analysis.places
    up = np.array((0.0, 0.0, 1.0))
    one, other = (places.nearest(np.array(at), up).face for at in ((0, 8, 2), (6, 6, 2)))
    line = analysis.lines.between(one, other)
    np.testing.assert_allclose(line.at[:, 2], 2.0, atol=1e-3)
    apart = float(np.linalg.norm(surface.centre[one] - surface.centre[other]))
    assert np.linalg.norm(np.diff(line.at, axis=0), axis=1).sum() < 1.05 * apart


def test_between_shells_there_is_no_line() -> None:
    sculpt, _ = touching_balls()
    analysis = Analysis(sculpt.vertices, sculpt.faces)
    surface = analysis.surface
    one, other = (int(np.flatnonzero(surface.shell == k)[0]) for k in (0, 1))
    assert analysis.lines.between(one, other).faces.tolist() == [one, other]
    figure = MarkedFigure(sculpt, marks_of())
    big, small = ((x, y, z) for x, y, z in surface.centre[[one, other]].tolist())
    seeds = figure.apply(marks_of(_line("all", big, small))).seeds
    assert {seed.face for seed in seeds} == {one, other}


def test_lines_give_way_to_places_and_to_each_other_in_any_order(figure: MarkedFigure) -> None:
    coat, sash = _line("coat", BELLY, CHEST), _line("sash", (-4.0, -4.0, 19.0), (4.0, -4.0, 19.0))
    under = figure.apply(marks_of(coat, sash))
    on_line = next(s for s in under.seeds if s.between and s.area == "coat" and s.at[2] > 10)
    marks = [coat, sash, point_mark("button", on_line.at)]
    over = figure.apply(marks_of(*marks))
    assert {s.area for s in over.seeds if s.face == on_line.face} == {"button"}
    areas: dict[int, set[str]] = {}
    for seed in over.seeds:
        areas.setdefault(seed.face, set()).add(seed.area)
    assert all(len(several) == 1 for several in areas.values())
    # The triangles beside it are of the line, and yet the place has an area of its own.
    button = names_of(over.sculpt) == "button"
    assert over.sculpt.mm2[button].sum() > 5.0
    again = figure.apply(marks_of(*marks[::-1]))
    np.testing.assert_array_equal(names_of(over.sculpt), names_of(again.sculpt))


def test_every_place_of_a_line_is_looked_at(figure: MarkedFigure) -> None:
    with pytest.raises(MarksFault) as caught:
        figure.apply(marks_of(_line("body", BELLY, (0.0, -30.0, 8.0), (0.0, -40.0, 8.0))))
    said = [fault.what for fault in caught.value.faults]
    assert ["22.0" in said[0], "32.0" in said[1], len(said)] == [True, True, 2]


def test_a_line_is_mirrored_as_its_places_are(figure: MarkedFigure) -> None:
    line = replace(_line("arm", (-7.0, -3.0, 8.0), (-5.0, -3.0, 13.0)), mirror=True)
    seeds = figure.apply(marks_of(_line("body", BACK), line)).seeds
    ours = np.array([s.at for s in seeds if s.area == "arm" and s.between])
    left, right = ours[ours[:, 0] < 0], ours[ours[:, 0] > 0]
    assert min(len(left), len(right)) > 5
    away = np.linalg.norm(left[:, None] * (-1, 1, 1) - right[None], axis=2)
    # The snowman's triangles are not alike left and right.
    assert max(float(away.min(axis=0).max()), float(away.min(axis=1).max())) < 1.0
    # The same where the file says so for all marks.
    whole = replace(marks_of(_line("body", BACK), replace(line, mirror=None)), mirror=True)
    by_file = MarkedFigure(figure.sculpt, whole).apply(whole).seeds
    assert {s.face for s in by_file if s.area == "arm"} == {
        s.face for s in seeds if s.area == "arm"
    }
    assert len({s.face for s in by_file}) == len(by_file)


def test_a_line_on_a_shell_that_another_mark_takes_whole_is_told_once_a_place() -> None:
    sculpt, _ = touching_balls()
    figure = MarkedFigure(sculpt, marks_of())
    whole = Mark("rivets", SHELL, "shell", shells=(1,))
    with pytest.raises(MarksFault) as caught:
        figure.apply(marks_of(_line("coat", (0, -8, 10), (0, 8, 10)), whole))
    assert len(caught.value.faults) == 1


def test_that_places_of_a_line_lie_on_several_shells_is_told() -> None:
    sculpt, _ = touching_balls()
    figure = MarkedFigure(sculpt, marks_of())
    one, other = (tuple(map(float, sculpt.corners[k].mean(axis=0))) for k in (0, -1))
    (said,) = (n for n in figure.apply(marks_of(_line("all", one, other))).notes if "shells" in n)
    assert "lie on 2 shells" in said
    same = figure.apply(marks_of(_line("all", one, (0.0, -8.0, 10.0)))).notes
    assert not [note for note in same if "shells" in note]


def test_a_file_gives_a_growing_mark_several_places(tmp_path: Path) -> None:
    path = tmp_path / "m.toml"
    path.write_text('[[mark]]\narea = "hose"\nat = [[1, 2, 3], [4, 5, 6]]\n', encoding="utf-8")
    (mark,) = load_marks(path).marks
    assert (mark.kind, [spot.at for spot in mark.spots]) == (POINT, [(1, 2, 3), (4, 5, 6)])
    places = ", ".join(["[1, 2, 3]"] * 1000)
    path.write_text(f'[[mark]]\narea = "hose"\nat = [{places}]\n', encoding="utf-8")
    with pytest.raises(MarksFault, match="at most 999 places, got 1000"):
        load_marks(path)
