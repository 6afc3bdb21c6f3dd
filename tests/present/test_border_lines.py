"""Borders as lines: true lengths, closed where they close, every border and nothing else."""

from __future__ import annotations

import numpy as np
import pytest

from preview.present.border_lines import border_lines
from preview.present.pens import PENS


def _disc(radius: float, side: int = 120) -> np.ndarray:
    row, column = np.indices((side, side)) + 0.5
    inside = np.hypot(row - side / 2, column - side / 2) <= radius
    return np.where(inside, 1, 0).astype(np.int32)


def test_a_circle_closes_and_is_as_long_as_a_circle() -> None:
    (line,) = border_lines(_disc(40.0))
    assert (line.first, line.second) == (0, 1)
    assert (line.points[0] == line.points[-1]).all()
    assert line.length == pytest.approx(2.0 * np.pi * 40.0, rel=0.03)
    away = np.hypot(*(line.points - 60.0).T)
    assert np.abs(away - 40.0).max() < 1.0


@pytest.mark.parametrize("slope", [0.0, 0.5, 1.0, 3.0])
def test_a_slanting_border_is_a_line_and_no_staircase(slope: float) -> None:
    row, column = np.indices((100, 100))
    label = (row - 50 > slope * (column - 50)).astype(np.int32)
    (line,) = border_lines(label)
    straight = float(np.linalg.norm(line.points[-1] - line.points[0]))
    assert line.length == pytest.approx(straight, rel=0.05)


def test_three_areas_meet_and_the_background_has_no_border() -> None:
    label = np.full((60, 60), -1, np.int32)
    label[10:50, 10:30], label[10:30, 30:50], label[30:50, 30:50] = 0, 1, 2
    found = {(line.first, line.second): line for line in border_lines(label)}
    assert set(found) == {(0, 1), (0, 2), (1, 2)}
    for line in found.values():
        assert line.length == pytest.approx(20.0, abs=0.5)


def test_crumbs_and_empty_pictures() -> None:
    assert border_lines(np.full((9, 9), 3, np.int32)) == []
    label = np.zeros((20, 20), np.int32)
    label[5, 5] = 1
    assert border_lines(label, shortest=6.0) == []


def test_pens_differ_in_weight_and_pattern_and_lightness() -> None:
    pens = list(PENS.values())
    weights = [pen.width for pen in pens]
    assert weights == sorted(weights, reverse=True)
    assert len({(pen.on, pen.off) for pen in pens}) == len(pens)
