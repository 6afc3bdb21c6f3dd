"""Named numbers whose regions came out as other areas are told."""

from __future__ import annotations

from dataclasses import replace

import pytest

from preview.areas.marks.apply import MarkedFigure
from preview.areas.marks.model import Marks, Spot
from preview.areas.marks.overrun import overrun_in_words
from preview.areas.marks.write import fingerprint_of
from tests.areas.marked_bodies import marks_of, point_mark, snowman

AREAS = {"hull": ("1",), "mast": ("2",), "top": ("3",)}


@pytest.fixture(scope="module")
def figure() -> MarkedFigure:
    """A snowman to be marked."""
    return MarkedFigure(snowman(0.8)[0], marks_of(areas=AREAS, count=3))


def _swapped(figure: MarkedFigure) -> Marks:
    """Regions 2 and 3 grow from each other's middles."""
    marks = marks_of(areas=AREAS, count=3)
    one, two, three = (Spot(r.at, r.normal) for r in figure.proposal(marks).regions)
    return replace(marks, regions={"1": one, "2": three, "3": two})


def _said(figure: MarkedFigure, marks: Marks) -> list[str]:
    return overrun_in_words(figure, marks, figure.apply(marks))


def test_regions_that_come_out_as_named_are_not_told(figure: MarkedFigure) -> None:
    assert _said(figure, marks_of(areas=AREAS, count=3)) == []


def test_regions_that_other_areas_took_are_told_with_both_names(figure: MarkedFigure) -> None:
    two, three = _said(figure, _swapped(figure))
    assert two.startswith('2 is named "mast", yet 100% of its region')
    assert 'mostly "top"' in two
    assert three.startswith('3 is named "top", yet ')
    assert 'mostly "mast"' in three


def test_a_mark_of_another_area_inside_means_it(figure: MarkedFigure) -> None:
    marks = marks_of(areas=AREAS, count=3)
    two = figure.proposal(marks).regions[1]
    beside = (-two.at[0], two.at[1], two.at[2])
    flag = point_mark("flag", beside, (-two.normal[0], two.normal[1], two.normal[2]))
    apart = {**_swapped(figure).regions, "3": Spot(two.at, two.normal)}
    (said,) = _said(figure, replace(marks, regions=apart, marks=(flag,)))
    assert said.startswith('3 is named "top"')


def test_of_another_export_nothing_is_said(figure: MarkedFigure) -> None:
    marks = _swapped(figure)
    marked = figure.apply(marks)
    own = fingerprint_of("snowman", len(figure.sculpt.faces), figure.analysis.surface)
    assert overrun_in_words(figure, replace(marks, figure=own), marked) != []
    other = replace(own, faces=own.faces + 1)
    assert overrun_in_words(figure, replace(marks, figure=other), marked) == []
