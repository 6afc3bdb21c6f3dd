"""The closest of many points, held to SciPy's tree."""

import numpy as np
import pytest
from scipy.spatial import cKDTree

from preview.shape.closest import closest_of


@pytest.mark.parametrize("spacing", [0.003, 0.05, 3.0])
@pytest.mark.parametrize("reach", [0.02, 2.0])
def test_it_is_the_one_that_a_tree_finds(spacing: float, reach: float) -> None:
    draw = np.random.default_rng(4)
    points = draw.uniform(0, 1, (3000, 3)).astype(np.float32)
    points[:, 2] *= 0.01
    places = (points[draw.integers(0, 3000, 500)] + draw.normal(0, reach, (500, 3))).astype(
        np.float32
    )
    found = closest_of(points, places, spacing)
    distance, near = cKDTree(points).query(places)
    own = np.linalg.norm(places.astype(np.float64) - points[found], axis=1)
    np.testing.assert_allclose(own, distance, rtol=1e-6)
    assert (found == near).mean() > 0.999


def test_of_equally_close_points_the_first_counts() -> None:
    points = np.zeros((4, 3), np.float32)
    points[:, 0] = (2, 1, 1, -1)
    assert closest_of(points, np.zeros((3, 3), np.float32), 0.1).tolist() == [1, 1, 1]


def test_points_in_one_place_have_no_size() -> None:
    assert closest_of(np.ones((2, 3), np.float32), np.zeros((1, 3), np.float32), 1.0).tolist() == [
        0
    ]
