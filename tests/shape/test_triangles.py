"""A triangle of sides 3, 4 and 5."""

from __future__ import annotations

import numpy as np
import pytest

from preview.shape.triangles import longest_edge, middles

VERTICES = np.array([[0, 0, 6], [3, 0, 6], [0, 4, 6]], np.float32)
FACES = np.array([[0, 1, 2], [2, 0, 1]], np.int32)


def test_its_longest_edge_is_5() -> None:
    assert longest_edge(VERTICES, FACES) == pytest.approx([5.0, 5.0])


def test_its_middle() -> None:
    np.testing.assert_allclose(middles(VERTICES, FACES), [[1, 4 / 3, 6]] * 2, rtol=1e-6)
