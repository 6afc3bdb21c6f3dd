"""Numbers of parts: region 1's are 1a and 1b, not 10 and 11."""

from __future__ import annotations

from dataclasses import replace

import pytest

from preview.areas.analysis.regions import is_part_of
from preview.areas.marks.apply import MarkedFigure
from preview.areas.marks.model import Marks, Spot
from preview.errors import MarksFault
from tests.areas.marked_bodies import marks_of, snowman


@pytest.mark.parametrize(
    ("name", "whole", "part"),
    [("1a", "1", True), ("1a2", "1", True), ("1a2", "1a", True), ("10", "1", False),
     ("1", "1", False), ("12a", "1", False), ("1a12", "1a1", False), ("2a", "1", False)],
)  # fmt: skip
def test_what_is_a_part_of_what(name: str, whole: str, part: bool) -> None:
    assert is_part_of(name, whole) is part


@pytest.fixture(scope="module")
def proposed() -> tuple[MarkedFigure, Marks]:
    """A proposal of twelve regions, as its file keeps it."""
    sculpt, _ = snowman(0.8)
    figure = MarkedFigure(sculpt, marks_of())
    regions = figure.proposal(marks_of(count=12)).regions
    kept = {r.name: Spot(r.at, r.normal) for r in regions}
    return figure, replace(marks_of(count=12), regions=kept)


def test_the_first_of_twelve_regions_splits(proposed: tuple[MarkedFigure, Marks]) -> None:
    figure, marks = proposed
    named = replace(marks, split={"1": 2}, areas={"coat": ("1a",), "hat": ("2",)})
    assert "coat" in figure.apply(named).sculpt.area_names
    with pytest.raises(MarksFault, match=r"name its parts: 1a, 1b$"):
        figure.apply(replace(named, areas={"coat": ("1",)}))


def test_a_part_of_what_is_not_split_says_how_to_split_it(
    proposed: tuple[MarkedFigure, Marks],
) -> None:
    figure, marks = proposed
    with pytest.raises(MarksFault, match=r"split 2 first: split\.2 = 4$"):
        figure.apply(replace(marks, areas={"coat": ("2b",)}))


def test_an_unknown_split_is_told_once_with_all_its_parts(
    proposed: tuple[MarkedFigure, Marks],
) -> None:
    figure, marks = proposed
    wrong = replace(marks, split={"90": 2, "90b": 2}, areas={"coat": ("90a", "90b1", "1")})
    with pytest.raises(MarksFault) as caught:
        figure.apply(wrong)
    assert [fault.what for fault in caught.value.faults] == [
        "the proposal has no region 90 to split"
    ]
