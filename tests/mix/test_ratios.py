"""Ratios against counting them one by one."""

from __future__ import annotations

from itertools import product
from math import gcd

import pytest

from preview.mix.ratios import distinct_ratios


@pytest.mark.parametrize(("paints", "most"), [(1, 5), (2, 12), (3, 8), (4, 8)])
def test_ratios_are_those_that_counting_finds(paints: int, most: int) -> None:
    counted = {
        drops
        for drops in product(range(most + 1), repeat=paints)
        if 0 < sum(drops) <= most and gcd(*drops) == 1
    }
    ratios = [tuple(int(d) for d in row) for row in distinct_ratios(paints, most)]
    assert len(ratios) == len(counted)
    assert set(ratios) == counted
