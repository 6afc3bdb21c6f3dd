"""Open borders, thousands of shells and supports are told, with what to do."""

from __future__ import annotations

import numpy as np

from preview.areas.analysis.analysis import Analysis
from preview.areas.analysis.regions import proposed
from preview.areas.marks.apply import MarkedFigure
from preview.areas.marks.hints import hints_of
from tests.areas.marked_bodies import SNOWMAN, marks_of, names_of, point_mark, snowman
from tests.areas.small_meshes import ball, box, joined
from tests.sculpts import sculpt_of


def test_a_sound_figure_needs_no_hint() -> None:
    assert hints_of(snowman(0.8)[0]) == ()


def test_an_open_border_is_told_and_areas_are_still_found() -> None:
    sculpt, truth = snowman(0.8)
    kept = sculpt.corners[:, :, 2].min(axis=1) > 1.0
    opened = sculpt_of(sculpt.vertices, sculpt.faces[kept])
    assert "the surface is open along" in hints_of(opened)[0]
    marked = MarkedFigure(opened, marks_of()).apply(marks_of(*SNOWMAN)).sculpt
    right = names_of(marked) == np.array(["belly", "chest", "head"])[truth[kept]]
    assert marked.mm2[right].sum() / marked.mm2.sum() > 0.97


def test_supports_are_told() -> None:
    posts = [box((x, y, 0), (0.5, 0.5, 6.0)) for x in range(-6, 7, 3) for y in (-3, 0, 3)]
    sculpt = sculpt_of(*joined(ball((0, 0, 15), 10.0), *posts))
    assert any("15 thin columns" in hint and "supports" in hint for hint in hints_of(sculpt))


def test_thousands_of_shells_are_told_and_take_what_they_touch() -> None:
    rng = np.random.default_rng(5)
    where = rng.standard_normal((1100, 3))
    where *= 10.0 / np.linalg.norm(where, axis=1, keepdims=True)
    scales = [box(tuple(p - 0.1), (0.2, 0.2, 0.2)) for p in where]
    sculpt = sculpt_of(*joined(ball((0, 0, 0), 10.0), *scales))
    assert "1,101 separate shells" in hints_of(sculpt)[0]
    figure = MarkedFigure(sculpt, marks_of())
    x, y, z = (float(v) for v in sculpt.corners[0].mean(axis=0))
    marked = figure.apply(marks_of(point_mark("all", (x, y, z))))
    assert set(names_of(marked.sculpt)) == {"all"}
    analysis = Analysis(sculpt.vertices, sculpt.faces)
    assert len(proposed(analysis, 12).regions) == 12
