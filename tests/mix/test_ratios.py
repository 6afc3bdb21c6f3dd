"""Ratios against counting them one by one."""

from __future__ import annotations

from itertools import product
from math import comb, gcd

import pytest

from preview.mix.ratios import distinct_ratios, full_ratios


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


# Distinct ratios of k paints in at most N drops, counted by Moebius inversion of C(N + k, k) - 1.
@pytest.mark.parametrize("paints", [3, 4, 5, 6])
@pytest.mark.parametrize("most", [4, 6, 8, 10, 12])
def test_as_many_ratios_as_moebius_inversion_counts(paints: int, most: int) -> None:
    moebius = {1: 1, 2: -1, 3: -1, 5: -1, 6: 1, 7: -1, 10: 1, 11: -1}
    counted = sum(
        sign * (comb(most // n + paints, paints) - 1) for n, sign in moebius.items() if n <= most
    )
    assert len(distinct_ratios(paints, most)) == counted


def test_the_counts_that_the_docstring_names() -> None:
    assert [len(distinct_ratios(k, 8)) for k in (3, 4, 5)] == [118, 407, 1136]
    assert len(distinct_ratios(4, 10)) == 831


def test_full_ratios_are_those_with_a_drop_of_every_paint() -> None:
    assert [len(full_ratios(k, 8)) for k in (1, 2, 3, 4)] == [1, 21, 52, 69]
    full = {tuple(row) for row in full_ratios(3, 8).tolist()}
    assert full == {tuple(row) for row in distinct_ratios(3, 8).tolist() if 0 not in row}
