"""Areas that differ in hue alone: told apart where they are wide, said to be lost where not."""

from __future__ import annotations

from functools import cache
from types import SimpleNamespace

import numpy as np
import pytest

from preview.areas.sculpt import Sculpt
from preview.judge.colours import Colours
from preview.judge.conditions import Conditions
from preview.judge.eyes import read_eyes
from preview.judge.grades import Grade
from preview.judge.judge import grade
from preview.judge.meeting import Meeting
from preview.judge.neighbours import measure_neighbours
from preview.judge.verdict import Pair
from preview.optics.cie1976_lab import xyz_from_lab, y_from_lightness
from preview.optics.srgb_iec61966 import SRGB_WHITE, linear_from_xyz, xyz_from_linear

RED, GREEN = (50.0, 45.0, 20.0), (50.0, -35.0, 20.0)


def _colours(sculpt: Sculpt, **lab: tuple[float, float, float]) -> Colours:
    table = np.array([lab[name] for name in sculpt.area_names])
    return Colours(y_from_lightness(table[:, 0]), table, table, sculpt.area)


@cache
def _measured(sculpt: Sculpt) -> Meeting:
    return measure_neighbours(sculpt)


def _pair(sculpt: Sculpt, distance_m: float, **lab: tuple[float, float, float]) -> Pair:
    colours = _colours(sculpt, **lab)
    (pair,) = grade(_measured(sculpt), colours, distance_m=distance_m).pairs
    return pair


@pytest.fixture(scope="module")
def halves(bodies: SimpleNamespace) -> Sculpt:
    """A coat in two wide halves."""
    return bodies.as_sculpt(bodies.column(6.0, [("north", 10.0, 20.0), ("south", 0.0, 10.0)]))


def test_wide_areas_are_told_apart_by_hue_but_no_better_than_visible(halves: Sculpt) -> None:
    pair = _pair(halves, 1.0, north=RED, south=GREEN)
    assert pair.step == pytest.approx(0.0, abs=1e-6)
    assert pair.grade is Grade.VISIBLE
    assert pair.hue > 10.0
    assert "Told apart by hue" in pair.hue_note
    assert "mid-tone by about" in pair.advice


def test_a_thin_part_that_differs_in_hue_alone_is_told_so(belted: Sculpt) -> None:
    pair = _pair(belted, 2.0, strap=RED, coat=GREEN)
    assert pair.grade < Grade.VISIBLE
    assert "too small for its hue" in pair.hue_note


def test_like_colours_stay_lost(halves: Sculpt) -> None:
    pair = _pair(halves, 1.0, north=(50.0, 3.0, 2.0), south=(50.0, 0.0, 0.0))
    assert pair.grade is Grade.LOST
    assert pair.hue_note == ""


def test_hue_never_lowers_what_lightness_gives(halves: Sculpt) -> None:
    grey = _pair(halves, 1.0, north=(75.0, 0.0, 0.0), south=(40.0, 0.0, 0.0))
    red = _pair(halves, 1.0, north=(75.0, 25.0, 10.0), south=(40.0, 0.0, 0.0))
    assert red.grade >= grey.grade >= Grade.READABLE
    assert red.hue_note == ""


def test_hue_goes_with_distance(halves: Sculpt) -> None:
    far = [_pair(halves, d, north=RED, south=GREEN) for d in (1.0, 4.0, 12.0, 20.0)]
    grades = [pair.grade for pair in far]
    assert grades == sorted(grades, reverse=True)
    assert far[0].hue > far[-1].hue


def test_red_and_green_of_one_value_part_by_value_to_protan_eyes(halves: Sculpt) -> None:
    eyes = read_eyes("protan")
    linear = linear_from_xyz(xyz_from_lab(np.array([RED, GREEN]), SRGB_WHITE))
    seen = np.maximum(xyz_from_linear(eyes.see(linear)), 0.0)
    assert seen[0, 1] < 0.8 * seen[1, 1]
    meeting = _measured(halves)
    conditions = Conditions(eyes=eyes)
    table = np.stack([np.array(RED), np.array(GREEN)])
    colours = Colours(seen[:, 1], table, table, halves.area)
    (pair,) = grade(meeting, colours, conditions=conditions).pairs
    assert pair.step > 5.0
    assert "protan" in grade(meeting, colours, conditions=conditions).summary


def test_every_figure_of_hue_is_told(halves: Sculpt) -> None:
    pair = _pair(halves, 1.0, north=RED, south=GREEN)
    told = pair.as_dict()
    assert told["hue"] == pair.hue <= pair.meeting.ciede2000
    # Wide parts keep their luminance and most of their hue.
    assert told["blurred_ciede2000"] == pytest.approx(pair.hue, rel=0.05)
    # 80 in a* against what half of a crowd notices at that size.
    degrees = pair.width_arcmin / 60.0
    assert told["noticed"] == pytest.approx(80.0 / (5.34 + 1.54 / degrees), rel=0.02)
