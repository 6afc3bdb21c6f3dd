"""Very many mixes at once are what each is alone."""

from __future__ import annotations

import numpy as np
import pytest

import preview.palette.sets as sets
from preview.mix.ratios import distinct_ratios
from preview.palette.sets import chroma_of, lab_of_sets, ratios_with_all
from preview.rack.load import load_rack
from tests.palette.oracle import two_part_ratios

HARBOUR = load_rack("harbour")


@pytest.mark.parametrize("at_once", [1, 4000, 2_000_000])
def test_each_mix_of_each_set_is_that_of_the_rack(
    at_once: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sets, "_AT_ONCE", at_once)
    names = list(HARBOUR.paints)
    threes = np.array([[0, 5, 10], [2, 8, 11], [7, 1, 10]])
    drops = np.array([[1, 1, 1], [5, 2, 1], [0, 3, 4]])
    lab = lab_of_sets(list(HARBOUR.paints.values()), threes, drops)
    assert lab.shape == (3, 3, 3)
    for k, members in enumerate(threes):
        for j, recipe in enumerate(drops):
            parts = {names[m]: int(n) for m, n in zip(members, recipe, strict=True) if n}
            np.testing.assert_allclose(lab[k, j], HARBOUR.mix(parts).lab, rtol=1e-9, atol=1e-9)


def test_ratios_have_a_drop_of_each() -> None:
    found = {tuple(row) for row in ratios_with_all(distinct_ratios(2, 12)).tolist()}
    assert found == set(two_part_ratios(12))


def test_chroma_is_the_distance_from_the_grey_axis() -> None:
    assert chroma_of(np.array([[50.0, 3.0, -4.0]])) == pytest.approx([5.0])
