"""Measures of agreement against a general-purpose library and against cases counted by hand."""

from __future__ import annotations

import numpy as np
import pytest
from sklearn.metrics import rand_score

from preview.areas.analysis.agreement import (
    hamming_distance,
    mean_overlap,
    nameable_share,
    rand_index,
    share_right,
)


@pytest.mark.parametrize("seed", range(6))
def test_rand_index_is_that_of_scikit_learn(seed: int) -> None:
    rng = np.random.default_rng(seed)
    one = rng.integers(0, 1 + 3 * seed, 500)
    other = np.where(rng.random(500) < 0.7, one, rng.integers(0, 9, 500))
    assert rand_index(one, other) == pytest.approx(rand_score(one, other), abs=1e-12)


def test_rand_index_ignores_names_and_order() -> None:
    one = np.array([0, 0, 1, 1, 2])
    assert rand_index(one, np.array([7, 7, 3, 3, 5])) == 1.0
    # Of ten pairs, "together" holds for two here and for none there.
    assert rand_index(one, np.arange(5)) == pytest.approx(0.8)


def test_shares_of_a_case_counted_by_hand() -> None:
    truth = np.array([0, 0, 0, 1, 1])
    found = np.array([0, 0, 1, 1, 1])
    size = np.array([1.0, 2.0, 3.0, 4.0, 5.0])
    assert share_right(found, truth, size) == pytest.approx(12 / 15)
    assert mean_overlap(found, truth, size) == pytest.approx((3 / 6 + 9 / 12) / 2)
    assert nameable_share(found, truth, size) == pytest.approx((3 + 9) / 15)
    assert hamming_distance(found, truth, size) == pytest.approx(3 / 15)
    assert hamming_distance(truth, truth, size) == 0.0
