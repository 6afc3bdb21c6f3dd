"""Border lengths in label pictures against circles, squares and lines of every direction."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from preview.judge.cracks import find_cracks

SIZE = 300
Y, X = np.mgrid[0:SIZE, 0:SIZE] - SIZE / 2 + 0.5
DIRECTIONS = [0.0, 5.0, 10.0, 17.0, 22.5, 30.0, 37.0, 45.0, 60.0, 90.0, 135.0]


def _turned(degrees: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    turn = np.radians(degrees)
    return X * np.cos(turn) + Y * np.sin(turn), Y * np.cos(turn) - X * np.sin(turn)


def _length(label: NDArray[np.bool_] | NDArray[np.int32]) -> float:
    return float(find_cracks(label.astype(np.int32)).length.sum())


@pytest.mark.parametrize("radius", [5, 10, 30, 100])
@pytest.mark.parametrize("shift", [0.0, 0.31])
def test_disc(radius: float, shift: float) -> None:
    disc = (X - shift) ** 2 + (Y - 0.5 * shift) ** 2 < radius**2
    assert _length(disc) == pytest.approx(2.0 * np.pi * radius, rel=0.025)


@pytest.mark.parametrize("degrees", DIRECTIONS)
def test_square(degrees: float) -> None:
    u, v = _turned(degrees)
    square = (np.abs(u) < 60.2) & (np.abs(v) < 60.2)
    assert _length(square) == pytest.approx(8 * 60.2, rel=0.025)


@pytest.mark.parametrize("degrees", DIRECTIONS)
def test_line_across_a_disc(degrees: float) -> None:
    u, _ = _turned(degrees)
    label = np.where(X**2 + Y**2 < 140.0**2, (u > 0.1).astype(np.int32), -1)
    assert _length(label) == pytest.approx(280.0, rel=0.025)


@pytest.mark.parametrize("width", [2, 4, 9])
@pytest.mark.parametrize("degrees", DIRECTIONS)
def test_thin_strip(degrees: float, width: float) -> None:
    u, v = _turned(degrees)
    strip = (np.abs(u - 0.1) < 0.5 * width) & (np.abs(v) < 100)
    assert _length(strip) == pytest.approx(400.0 + 2.0 * width, rel=0.03)


def test_better_than_counting_sides() -> None:
    u, _ = _turned(45.0)
    label = np.where(X**2 + Y**2 < 140.0**2, (u > 0.1).astype(np.int32), -1)
    assert len(find_cracks(label).length) > 1.35 * 280.0


def test_what_is_no_area_has_no_border() -> None:
    label = np.full((40, 40), -1, np.int32)
    label[10:20, 10:30] = 3
    label[20:22] = -2
    label[22:30, 10:30] = 5
    assert not len(find_cracks(label).length)


def test_sides_are_told_apart_with_the_smaller_label_first() -> None:
    label = np.zeros((60, 60), np.int32)
    label[20:40, :] = 2
    label[40:, 30:] = 1
    cracks = find_cracks(label)
    flat = label.ravel()
    assert (flat[cracks.first] < flat[cracks.second]).all()
    lengths = {
        (int(a), int(b)): cracks.length[
            (flat[cracks.first] == a) & (flat[cracks.second] == b)
        ].sum()
        for a, b in ((0, 1), (0, 2), (1, 2))
    }
    assert lengths[0, 1] == pytest.approx(20.0, rel=0.05)
    assert lengths[0, 2] == pytest.approx(90.0, rel=0.03)
    assert lengths[1, 2] == pytest.approx(30.0, rel=0.05)
    step = np.abs(cracks.first - cracks.second)
    assert set(step.tolist()) == {1, 60}
