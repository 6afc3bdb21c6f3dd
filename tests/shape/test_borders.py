"""Edges between labels, on bodies whose edges are known."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from preview.shape.borders import label_borders, points_along

CUBE = np.array([[x, y, z] for z in (0, 4) for y in (0, 4) for x in (0, 4)], np.float32)
QUADS = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]]
SIDES = np.array([[q[0], q[1], q[2]] for q in QUADS] + [[q[0], q[2], q[3]] for q in QUADS])
LABELS = np.tile(np.arange(6), 2)
EVERY = np.ones(12, np.bool_)


def _by_pair(
    vertices: NDArray[np.float32],
    faces: NDArray[np.int64],
    label: NDArray[np.int64],
    counted: NDArray[np.bool_],
) -> dict[tuple[int, int], float]:
    borders = label_borders(vertices, faces, label, counted)
    out: dict[tuple[int, int], float] = {}
    for low, high, length in zip(borders.low, borders.high, borders.length, strict=True):
        out[int(low), int(high)] = out.get((int(low), int(high)), 0.0) + float(length)
    return out


def test_each_two_adjoining_sides_of_a_cube_share_one_edge() -> None:
    found = _by_pair(CUBE, SIDES, LABELS, EVERY)
    opposite = {(0, 1), (2, 3), (4, 5)}
    adjoining = {(a, b) for a in range(6) for b in range(a + 1, 6)} - opposite
    assert found == dict.fromkeys(adjoining, 4.0)


def test_repeated_vertices_make_no_gap() -> None:
    apart = CUBE[SIDES].reshape(-1, 3)
    faces = np.arange(36).reshape(12, 3)
    assert _by_pair(apart, faces, LABELS, EVERY) == _by_pair(CUBE, SIDES, LABELS, EVERY)


def test_faces_that_do_not_count_have_no_borders() -> None:
    found = _by_pair(CUBE, SIDES, LABELS, LABELS != 1)
    assert len(found) == 8
    assert not any(1 in pair for pair in found)


def test_one_label_has_no_border() -> None:
    assert not _by_pair(CUBE, SIDES, np.zeros(12, np.int64), EVERY)


def test_points_along_are_close_together_and_on_their_edges() -> None:
    borders = label_borders(CUBE, SIDES, LABELS, EVERY)
    points, edge = points_along(borders, 0.3)
    assert len(points) == 12 * 14
    start, end = borders.ends[edge, 0], borders.ends[edge, 1]
    detour = np.linalg.norm(points - start, axis=1) + np.linalg.norm(points - end, axis=1)
    assert detour == pytest.approx(np.full(len(points), 4.0))
    one = points[edge == 0]
    assert np.linalg.norm(np.diff(one, axis=0), axis=1).max() <= 0.3
