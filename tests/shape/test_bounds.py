"""Boxes around points, against NumPy's own reductions."""

from __future__ import annotations

import numpy as np
import pytest

from preview.shape.bounds import bounds, longest_side


@pytest.mark.parametrize("kind", [np.float32, np.float64])
def test_the_box_is_the_least_and_the_greatest_of_each_axis(kind: type) -> None:
    points = np.random.default_rng(3).normal(size=(1000, 3)).astype(kind)
    low, high = bounds(points)
    assert low.dtype == high.dtype == kind
    assert (low == points.min(axis=0)).all()
    assert (high == points.max(axis=0)).all()
    assert longest_side(points) == float(np.ptp(points, axis=0).max())
