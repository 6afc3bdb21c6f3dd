"""Triangles on a grid of samples against every triangle asked at every sample."""

from __future__ import annotations

import numpy as np

from preview.shape.grid import drawn_on_grid

WIDTH, HEIGHT = 23, 17


def asked_one_by_one(placed: np.ndarray, faces: np.ndarray) -> np.ndarray:
    """How near the nearest triangle is at each sample, by barycentric weights."""
    row, column = np.divmod(np.arange(WIDTH * HEIGHT), WIDTH)
    nearest = np.zeros(WIDTH * HEIGHT)
    for a, b, c in placed[faces].astype(np.float64):
        if min(a[2], b[2], c[2]) <= 0:
            continue
        edges = np.stack([b[:2] - a[:2], c[:2] - a[:2]], axis=1)
        of_b, of_c = np.linalg.solve(edges, np.stack([column - a[0], row - a[1]]))
        inside = (of_b >= 0) & (of_c >= 0) & (of_b + of_c <= 1)
        near = a[2] + of_b * (b[2] - a[2]) + of_c * (c[2] - a[2])
        nearest = np.where(inside, np.maximum(nearest, near), nearest)
    return nearest


def test_triangles_that_turn_either_way_reach_past_the_frame_or_lie_behind_the_eye() -> None:
    rng = np.random.default_rng(3)
    middle = rng.uniform((-3, -3, 0.2), (WIDTH + 3, HEIGHT + 3, 9), (400, 1, 3))
    size = rng.choice([0.4, 2.0, 9.0], (400, 1, 1))
    corners = middle + size * rng.uniform(-1, 1, (400, 3, 3)) * (1, 1, 0.2)
    placed = corners.reshape(-1, 3).astype(np.float32)
    faces = np.arange(1200, dtype=np.int32).reshape(-1, 3)
    nearest, number = drawn_on_grid(placed, faces, WIDTH, HEIGHT)
    np.testing.assert_allclose(nearest, asked_one_by_one(placed, faces), atol=1e-4)
    np.testing.assert_array_equal(number >= 0, nearest > 0)


def test_all_triangles_turned_one_way_and_none_at_all() -> None:
    placed = np.array([[1, 1, 5], [9, 1, 5], [1, 9, 5]], np.float32)
    for order in ((0, 1, 2), (0, 2, 1)):
        _, number = drawn_on_grid(placed, np.array([order], np.int32), WIDTH, HEIGHT)
        # Samples at whole numbers with x + y <= 10 from (1, 1) on: 9 + 8 + ... + 1.
        assert np.count_nonzero(number == 0) == 45
    _, number = drawn_on_grid(placed, np.empty((0, 3), np.int32), WIDTH, HEIGHT)
    assert (number == -1).all()
