"""FLIP by its authors' package, on pictures whose figure is known."""

from __future__ import annotations

import flip_evaluator
import numpy as np
import pytest

from preview.judge.flip_andersson_2020 import flip_between


def _flat(*rgb: float, side: int = 48) -> np.ndarray:
    return np.broadcast_to(np.array(rgb), (side, side, 3)).astype(np.float64)


def test_known_pairs() -> None:
    # Worked with flip-evaluator 1.7 at 120 pixels per degree.
    grey = flip_between(_flat(0.5, 0.5, 0.5), _flat(0.6, 0.6, 0.6), 120.0)
    assert grey.mean == pytest.approx(0.28506, abs=2e-4)
    worst = flip_between(_flat(0.0, 1.0, 0.0), _flat(0.0, 0.0, 1.0), 120.0)
    assert worst.mean == pytest.approx(1.0, abs=1e-3)
    same = flip_between(_flat(0.3, 0.2, 0.5), _flat(0.3, 0.2, 0.5), 120.0)
    assert same.mean == 0.0


def test_detail_goes_with_distance() -> None:
    checks = np.indices((64, 64)).sum(axis=0)[..., None] % 2 * np.ones(3)
    linear_mean = 1.055 * 0.5 ** (1 / 2.4) - 0.055
    grey = _flat(linear_mean, linear_mean, linear_mean, side=64)
    near, far = (flip_between(checks.astype(float), grey, ppd).mean for ppd in (30.0, 120.0))
    assert near == pytest.approx(0.380, abs=5e-3)
    assert far < 0.01


def test_only_the_figure_counts() -> None:
    before, after = _flat(0.5, 0.5, 0.5).copy(), _flat(0.5, 0.5, 0.5).copy()
    after[:24] = 0.8
    within = np.zeros((48, 48), bool)
    within[:12] = True
    found = flip_between(before, after, 120.0, within)
    assert found.mean > flip_between(before, after, 120.0).mean
    assert found.error.shape == (48, 48)


@pytest.mark.parametrize("ppd", [20.0, 67.0, 120.0])
def test_leaving_out_what_is_alike_changes_nothing(ppd: float) -> None:
    rng = np.random.default_rng(4)
    before = np.full((120, 160, 3), 0.7, np.float32)
    before[20:90, 30:100] = rng.random((70, 70, 3))
    after = before.copy()
    after[50:60, 50:58] = rng.random((10, 8, 3))
    error, _, _ = flip_evaluator.evaluate(
        before, after, "LDR", applyMagma=False, parameters={"ppd": ppd}
    )
    assert error.max() > 0.1
    found = flip_between(before, after, ppd).error
    np.testing.assert_allclose(found, np.asarray(error)[..., 0], rtol=0, atol=1e-6)


def test_bytes_and_other_shapes_are_refused() -> None:
    with pytest.raises(ValueError, match="floats"):
        flip_between(np.zeros((8, 8, 3), np.uint8), np.zeros((8, 8, 3), np.uint8), 67.0)
    with pytest.raises(ValueError, match="do not compare"):
        flip_between(np.zeros((8, 8, 3)), np.zeros((8, 9, 3)), 67.0)
