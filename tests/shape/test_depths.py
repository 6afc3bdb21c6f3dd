"""Depth maps of several directions against every triangle asked at every sample."""

from __future__ import annotations

import numpy as np
import pytest

from preview.shape.depths import NOTHING, depth_maps

SIDE = 41
MIDDLE = np.array([0.5, -0.25, 1.0], np.float32)


def turned(count: int) -> np.ndarray:
    """(count, 3, 3) float32 axes of random directions, two samples per mm."""
    rng = np.random.default_rng(7)
    axes = np.array([np.linalg.qr(rng.normal(size=(3, 3)))[0] for _ in range(count)])
    axes[:, :2] *= 2.0
    return axes.astype(np.float32)


def asked_one_by_one(corners: np.ndarray, axes: np.ndarray) -> np.ndarray:
    """The depth of the nearest triangle at each sample, by barycentric weights."""
    row, column = np.divmod(np.arange(SIDE * SIDE), SIDE)
    sample = np.stack([column, row]) - SIDE // 2
    a, b, c = np.moveaxis((corners - MIDDLE).astype(np.float64) @ axes.T.astype(np.float64), 1, 0)
    edges = np.stack([b[:, :2] - a[:, :2], c[:, :2] - a[:, :2]], axis=2)
    of_b, of_c = np.moveaxis(np.linalg.solve(edges, sample - a[:, :2, None]), 1, 0)
    inside = (of_b >= 0) & (of_c >= 0) & (of_b + of_c <= 1)
    near = a[:, 2, None] + of_b * (b - a)[:, 2, None] + of_c * (c - a)[:, 2, None]
    return np.where(inside, near, NOTHING).max(axis=0).astype(np.float32)


# Smaller than a sample, of a few, of many; more triangles than are taken at a time.
@pytest.mark.parametrize("size_mm", [0.2, 0.6, 3.0])
def test_triangles_of_all_sizes_that_turn_either_way(size_mm: float) -> None:
    rng = np.random.default_rng(3)
    middles = MIDDLE + rng.uniform(-2.0, 2.0, (700, 1, 3))
    corners = (middles + size_mm * rng.uniform(-1, 1, (700, 3, 3))).astype(np.float32)
    faces = np.arange(2100, dtype=np.int32).reshape(-1, 3)
    axes = turned(17)
    depth = depth_maps(corners.reshape(-1, 3), faces, MIDDLE, axes, SIDE)
    differ = 0
    for shown, one in zip(depth[::4], axes[::4], strict=True):
        expected = asked_one_by_one(corners, one)
        assert (expected > NOTHING).any()
        differ += np.count_nonzero(np.abs(shown - expected) > 1e-4)
    # Samples within a ten-thousandth of a triangle's height from its edge count, too.
    assert differ <= 5e-4 * depth[::4].size


def test_a_sheet_of_many_triangles_has_no_gap_at_its_seams() -> None:
    # Seams run through samples, along rows, columns and diagonals.
    x, y = np.meshgrid(np.arange(-4.0, 5.0), np.arange(-4.0, 5.0), indexing="ij")
    vertices = np.stack([x, y, 0.3 * x], axis=2).reshape(-1, 3).astype(np.float32) + MIDDLE
    corner = (np.arange(8)[:, None] * 9 + np.arange(8)).ravel()
    lower = np.stack([corner, corner + 9, corner + 10], axis=1)
    upper = np.stack([corner, corner + 10, corner + 1], axis=1)
    faces = np.concatenate([lower, upper]).astype(np.int32)
    axes = np.diag([2.0, 2.0, 1.0]).astype(np.float32)[None]
    depth = depth_maps(vertices, faces, MIDDLE, axes, SIDE).reshape(SIDE, SIDE)
    ahead = 0.3 * (np.arange(SIDE) - SIDE // 2) / 2
    within = slice(SIDE // 2 - 8, SIDE // 2 + 9)
    np.testing.assert_allclose(depth[within, within], np.tile(ahead[within], (17, 1)), atol=1e-5)
    assert np.count_nonzero(depth > NOTHING) == 17 * 17


def test_triangles_seen_edge_on_and_none_at_all_show_nothing() -> None:
    upright = np.array([[0, 0, 0], [1, 0, 0], [0, 0, 1]], np.float32) + MIDDLE
    axes = np.diag([2.0, 2.0, 1.0]).astype(np.float32)[None]
    for faces in ([[0, 1, 2]], np.empty((0, 3))):
        depth = depth_maps(upright, np.array(faces, np.int32), MIDDLE, axes, SIDE)
        assert (depth == np.float32(NOTHING)).all()


def test_needles_across_the_map_leave_no_sample_open() -> None:
    # A square of 500 strips, each far narrower than a sample and longer than the map, that leans.
    edge = np.linspace(-9.0, 9.0, 501)
    low, high = (np.stack([edge, np.full(501, y), 0 * edge], axis=1) for y in (-9.0, 9.0))
    turn = np.linalg.qr(np.random.default_rng(2).normal(size=(3, 3)))[0]
    vertices = (np.concatenate([low, high]) @ turn.T).astype(np.float32) + MIDDLE
    i = np.arange(500)
    faces = np.concatenate([np.stack([i, i + 1, i + 502], 1), np.stack([i, i + 502, i + 501], 1)])
    axes = turned(8)
    axes[:, :2] *= 5.0
    side = 281
    depth = depth_maps(vertices, faces.astype(np.int32), MIDDLE, axes, side)
    row, column = np.divmod(np.arange(side * side), side)
    sample = np.stack([column, row]) - side // 2
    for shown, one in zip(depth, axes, strict=True):
        within = np.abs(np.linalg.solve((one @ turn)[:2, :2], sample)).max(axis=0) < 8.9
        assert np.count_nonzero(within) > 1000
        assert (shown[within] > NOTHING).all()
