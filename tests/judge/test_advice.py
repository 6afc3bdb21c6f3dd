"""Advice, followed, does what it says; where nothing helps, it says so."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from preview.judge.advice import Boundary, Change, advise, smallest_changes
from preview.judge.eye import ClosedFormEye
from preview.judge.grades import DEMANDS, Demand, Grade, grades_of, score_parts
from preview.optics.cie1976_lab import y_from_lightness

EYE = ClosedFormEye()
READS = DEMANDS[Grade.READABLE]


def _boundary(part: float, ground: float, width_arcmin: float = 3.0) -> Boundary:
    return Boundary(
        part="strap",
        ground="coat",
        part_midtone=part,
        ground_midtone=ground,
        part_y=np.full(3, y_from_lightness(part)),
        ground_y=np.full(3, y_from_lightness(ground)),
        weight=np.array([1.0, 2.0, 0.5]),
        width_mm=0.291 * width_arcmin,
        width_arcmin=width_arcmin,
        length_arcmin=20.0,
        mean_y=0.2,
        luminance=30.0,
        distance_m=1.0,
    )


def _grade(boundary: Boundary, change: Change | None = None) -> int:
    part, ground = boundary.part_midtone, boundary.ground_midtone
    if change is not None:
        moved = boundary.part_midtone if change.name == boundary.part else boundary.ground_midtone
        assert change.to == pytest.approx(moved + change.by)
        part += change.by * (change.name == boundary.part)
        ground += change.by * (change.name == boundary.ground)
    y = y_from_lightness(np.array([part, ground]))
    size = np.array([boundary.width_arcmin]), np.array([boundary.length_arcmin])
    scores = score_parts(y[:1], y[1:], *size, boundary.mean_y, boundary.luminance, EYE)
    return int(grades_of(scores)[0])


@pytest.mark.parametrize("width", [2.1, 3.0, 8.0, 40.0])
@pytest.mark.parametrize(("part", "ground"), [(40, 40), (45, 40), (38, 44), (3, 6), (97, 93)])
def test_followed_advice_makes_it_readable(part: float, ground: float, width: float) -> None:
    boundary = _boundary(part, ground, width)
    assert _grade(boundary) < Grade.READABLE
    changes = smallest_changes(boundary, EYE, READS)
    assert changes
    for change in changes:
        assert _grade(boundary, change) >= Grade.READABLE
        assert 0.0 <= change.to <= 100.0
        one_less = replace(
            change, by=change.by - np.sign(change.by), to=change.to - np.sign(change.by)
        )
        assert _grade(boundary, one_less) < Grade.READABLE
    assert abs(changes[0].by) == min(abs(change.by) for change in changes)


def test_says_which_way_is_shorter() -> None:
    assert smallest_changes(_boundary(46, 40), EYE, READS)[0].by > 0
    lighter_ground = smallest_changes(_boundary(40, 46), EYE, READS)
    assert {change.name: np.sign(change.by) for change in lighter_ground} == {
        "strap": -1.0,
        "coat": 1.0,
    }


def test_never_asks_for_more_than_black_or_white() -> None:
    for change in smallest_changes(_boundary(99, 97), EYE, READS):
        assert change.by < 0


def test_words_and_numbers() -> None:
    boundary = _boundary(46, 40)
    first = smallest_changes(boundary, EYE, READS)[0]
    text = advise(boundary, EYE)
    assert f"by about {abs(first.by):.0f} L* (to {first.to:.0f})" in text
    assert text.startswith(("Raise the strap's mid-tone", "Lower the coat's mid-tone"))
    assert text.endswith(".")
    assert str(Change("glass", 4.0, 35.0)) == "raise the glass's mid-tone by about 4 L* (to 35)"
    assert str(Change("boots", -4.0, 31.0)) == "lower the boots' mid-tone by about 4 L* (to 31)"


def test_too_thin_is_said_and_what_makes_an_accent() -> None:
    text = advise(_boundary(46, 40, 1.2), EYE)
    assert "Too thin at 1 m for its shape to read: 0.349 mm (1.2 arc minutes)" in text
    assert "takes 0.582 mm; no change of value helps" in text
    assert "To make it an accent, " in text
    accents = smallest_changes(_boundary(46, 40, 1.2), EYE, Demand(READS.visibility, 0.0, 0.0))
    assert f"{abs(accents[0].by):.0f} L*" in text


def test_a_thin_part_that_is_an_accent_already() -> None:
    text = advise(_boundary(95, 20, 1.5), EYE)
    assert text.endswith("It is seen as an accent.")


def test_a_part_that_nothing_makes_seen() -> None:
    text = advise(replace(_boundary(60, 50, 0.2), length_arcmin=0.3), EYE)
    assert text.endswith("Nor can it become an accent on the coat.")


def test_a_border_whose_tones_vary_is_judged_by_half_of_it() -> None:
    even = _boundary(46, 40)
    dark, light = y_from_lightness(np.array([20.0, 80.0]))
    uneven = replace(
        even, part_y=np.array([dark, light]), ground_y=np.array([dark, light]), weight=np.ones(2)
    )
    for change in smallest_changes(uneven, EYE, READS):
        assert abs(change.by) > 3.0
