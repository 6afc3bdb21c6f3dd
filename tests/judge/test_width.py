"""Local width of parts of known width."""

from __future__ import annotations

import numpy as np
import pytest

from preview.judge.grouping import weighted_medians
from preview.judge.width import measure_parts

SIZE = 240
Y, X = np.mgrid[0:SIZE, 0:SIZE] - SIZE / 2 + 0.5


@pytest.mark.parametrize("degrees", [0, 8, 22.5, 30, 45, 70, 90])
@pytest.mark.parametrize("width", [2, 3, 4, 5, 8, 20])
def test_strip(degrees: float, width: float) -> None:
    turn = np.radians(degrees)
    u, v = X * np.cos(turn) + Y * np.sin(turn), Y * np.cos(turn) - X * np.sin(turn)
    strip = (np.abs(u - 0.1) < 0.5 * width) & (np.abs(v) < 90)
    parts = measure_parts(np.where(strip, 0, -1).astype(np.int32))
    assert len(parts.width) == 1
    # A border lies anywhere within a sample on either side.
    assert parts.width[0] == pytest.approx(width, abs=1.6)
    assert parts.length[0] * parts.width[0] == pytest.approx(strip.sum())


def test_strips_come_out_right_on_average() -> None:
    errors = []
    for degrees in range(0, 90, 6):
        turn = np.radians(degrees)
        u = X * np.cos(turn) + Y * np.sin(turn)
        strip = (np.abs(u - 0.17) < 4.2) & (X**2 + Y**2 < 100**2)
        errors.append(measure_parts(np.where(strip, 0, -1).astype(np.int32)).width[0] - 8.4)
    assert abs(np.mean(errors)) < 0.5


@pytest.mark.parametrize("radius", [6, 20, 60])
def test_disc_counts_as_the_square_of_its_area(radius: float) -> None:
    disc = radius**2 > X**2 + Y**2
    parts = measure_parts(np.where(disc, 0, -1).astype(np.int32))
    assert parts.width[0] == pytest.approx(np.sqrt(np.pi) * radius, rel=0.02)
    assert parts.length[0] == pytest.approx(parts.width[0], rel=0.05)


def test_a_thin_tail_does_not_make_a_body_thin() -> None:
    body = X**2 + Y**2 < 40**2
    tail = (np.abs(Y) < 1.6) & (X > 0) & (X < 80)
    parts = measure_parts(np.where(body | tail, 0, -1).astype(np.int32))
    assert parts.width[0] > 40


def test_each_piece_of_an_area_is_its_own_part() -> None:
    label = np.full((60, 120), 7, np.int32)
    label[10:20, 10:50] = 2
    label[30:34, 60:110] = 2
    label[40:50, 10:20] = -1
    parts = measure_parts(label)
    assert sorted(parts.label.tolist()) == [2, 2, 7]
    widths = sorted(parts.width[parts.label == 2])
    assert widths == pytest.approx([4, 10], abs=0.6)
    assert (parts.component[label == -1] == -1).all()
    assert parts.samples.sum() == (label >= 0).sum()


def test_two_areas_side_by_side_are_measured_apart() -> None:
    label = np.full((60, 100), -1, np.int32)
    label[10:50, 10:16] = 0
    label[10:50, 16:40] = 1
    parts = measure_parts(label)
    assert parts.width == pytest.approx([6, 24], abs=0.6)


def test_weighted_medians_against_spelled_out_ones() -> None:
    generator = np.random.default_rng(5)
    group = generator.integers(0, 6, 300)
    weights = generator.integers(0, 4, 300)
    values = generator.normal(size=300)
    group[group == 3] = 2
    found = weighted_medians(values, weights.astype(float), group, 6)
    for k in range(6):
        spelled = np.sort(np.repeat(values[group == k], weights[group == k]))
        if len(spelled):
            assert found[k] == spelled[(len(spelled) - 1) // 2]
        else:
            assert np.isnan(found[k])
