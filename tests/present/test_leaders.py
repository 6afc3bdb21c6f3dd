"""Lines to names that do not cross, and dots that do not cover one another."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from preview.present.labels import spaced
from preview.present.leaders import apart, uncrossed


def _crossings(spots: np.ndarray, order: list[int], x: float, heights: list[float]) -> int:
    """How many pairs of lines cross, by solving for where each two meet."""
    count = 0
    for one, two in combinations(range(len(order)), 2):
        p, q = (np.array(spots[order[k]]) for k in (one, two))
        r, s = (np.array([x, heights[k]]) - a for k, a in ((one, p), (two, q)))
        cross = r[0] * s[1] - r[1] * s[0]
        if cross:
            t = ((q - p)[0] * s[1] - (q - p)[1] * s[0]) / cross
            u = ((q - p)[0] * r[1] - (q - p)[1] * r[0]) / cross
            count += 1e-9 < t < 1 - 1e-9 and 1e-9 < u < 1 - 1e-9
    return count


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("x", [-100.0, 900.0])
def test_no_two_lines_cross(seed: int, x: float) -> None:
    spots = np.random.default_rng(seed).uniform(0.0, 800.0, (40, 2))
    heights = spaced(sorted(float(y) for _, y in spots), 1200.0, 30.0)
    pairs = [(float(a), float(b)) for a, b in spots]
    order = uncrossed(pairs, x, heights)
    assert sorted(order) == list(range(40))
    assert _crossings(spots, order, x, heights) == 0
    by_height = sorted(range(40), key=lambda k: pairs[k][1])
    assert _crossings(spots, by_height, x, heights) > 0


def test_dots_stand_apart_and_lone_ones_stay() -> None:
    points = np.array([[0.0, 0.0], [0.0, 0.0], [3.0, 1.0], [200.0, 50.0]])
    placed = apart(points, 20.0)
    far = np.linalg.norm(placed[:, None] - placed[None], axis=-1)[np.triu_indices(4, 1)]
    # a hundredth: each step goes most of the way
    assert far.min() >= 19.8
    np.testing.assert_array_equal(placed[3], points[3])
    assert np.linalg.norm(placed - points, axis=1).max() < 25


def test_nothing_stands_apart_from_nothing() -> None:
    assert apart(np.empty((0, 2)), 20.0).shape == (0, 2)
    assert uncrossed([], 10.0, []) == []
