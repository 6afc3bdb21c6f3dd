"""CIEDE2000 against the published pairs and colour-science."""

from __future__ import annotations

from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

from preview.optics.ciede2000 import ciede2000

PAIRS = np.loadtxt(
    Path(__file__).parents[1] / "reference" / "ciede2000_sharma_2005.csv",
    delimiter=",",
    skiprows=5,
)


def test_all_34_pairs_are_there() -> None:
    assert PAIRS.shape == (34, 7)


@pytest.mark.parametrize("pair", range(34))
def test_pairs_of_sharma_wu_and_dalal(pair: int, colour_science: ModuleType) -> None:
    first, second, expected = PAIRS[pair, :3], PAIRS[pair, 3:6], PAIRS[pair, 6]
    # 5e-5: the table has four decimals
    assert ciede2000(first, second) == pytest.approx(expected, abs=5e-5)
    assert ciede2000(second, first) == pytest.approx(expected, abs=5e-5)
    assert colour_science.difference.delta_E_CIE2000(first, second) == pytest.approx(
        expected, abs=5e-5
    )


def test_random_pairs_agree_with_colour_science(colour_science: ModuleType) -> None:
    rng = np.random.default_rng(11)
    first = rng.uniform([0, -100, -100], [100, 100, 100], (5000, 3))
    second = first + rng.normal(0, 20, (5000, 3))
    expected = colour_science.difference.delta_E_CIE2000(first, second)
    np.testing.assert_allclose(ciede2000(first, second), expected, atol=1e-8)


def test_equal_colours_do_not_differ_and_greys_have_no_hue() -> None:
    assert ciede2000([50, 0, 0], [50, 0, 0]) == 0.0
    assert ciede2000([50, 0, 0], [50, 3, 4]) == pytest.approx(
        float(ciede2000([50, 0, 0], [50, 3, 4.0000001])), abs=1e-5
    )


def test_one_colour_against_many() -> None:
    many = np.array([[[50.0, 10.0, 0.0]], [[60.0, 0.0, 10.0]]])
    differences = ciede2000([50, 10, 0], many)
    assert differences.shape == (2, 1)
    assert differences[0, 0] == 0.0
