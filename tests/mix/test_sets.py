"""Very many mixes at once are what each is alone."""

from __future__ import annotations

import numpy as np
import pytest

import preview.mix.sets as sets
from preview.mix.recipes import constants_of
from preview.mix.sets import lab_of_sets
from preview.rack.load import load_rack

HARBOUR = load_rack("harbour")


@pytest.mark.parametrize("at_once", [1, 6, 4096])
def test_each_mix_of_each_set_is_that_of_the_rack(
    at_once: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sets, "_AT_ONCE", at_once)
    names = list(HARBOUR.paints)
    threes = np.array([[0, 5, 10], [2, 8, 11], [7, 1, 10]])
    drops = np.array([[1, 1, 1], [5, 2, 1], [0, 3, 4]])
    lab = lab_of_sets(*constants_of(list(HARBOUR.paints.values())), threes, drops)
    assert lab.shape == (3, 3, 3)
    for k, members in enumerate(threes):
        for j, recipe in enumerate(drops):
            parts = {names[m]: int(n) for m, n in zip(members, recipe, strict=True) if n}
            np.testing.assert_allclose(lab[k, j], HARBOUR.mix(parts).lab, rtol=1e-9, atol=1e-9)


def test_no_recipes_make_no_mixes() -> None:
    constants = constants_of(list(HARBOUR.paints.values()))
    assert lab_of_sets(*constants, [(0, 1)], np.empty((0, 2))).shape == (1, 0, 3)
