"""How far uneven drops move a mix: why answers that differ by less than one are not ranked.

The volume of every drop varies by itself, by a share (CV) of 5, 10 or 20 %. Two things are told
apart: how far a mix moves, and by how much the nearest recipe of a colour gets nearer to it or
farther, which is about half as much, for a mix mostly moves aside.
"""

from __future__ import annotations

import numpy as np
import pytest

from preview.mix.ratios import distinct_ratios
from preview.mix.recipes import constants_of
from preview.mix.two_constant_duncan_1940 import mix_recipes, reflectance_of_mixes
from preview.optics.appearance import lab_from_reflectance
from preview.optics.ciede2000 import ciede2000
from preview.optics.spectrum import Floats
from preview.palette.recipes import SAME
from preview.rack.load import load_rack

POTS = ("PR254", "PB15:3", "PW6", "PBr7 burnt umber")
RACK = load_rack("pigments")
CONSTANTS = constants_of([RACK.paints[name] for name in POTS])


def _lab(drops: Floats) -> Floats:
    return lab_from_reflectance(reflectance_of_mixes(*mix_recipes(*CONSTANTS, drops)))


def _moved(variation: float) -> Floats:
    """CIEDE2000 between each mix as planned and with drops that vary, 40 times over."""
    ratios = distinct_ratios(len(POTS), 8).astype(float)
    ratios = ratios[(ratios > 0).sum(axis=1) > 1]
    rng = np.random.default_rng(7)
    return ciede2000(_lab(_uneven(ratios, 40, variation, rng)), _lab(ratios))


def _missed(variation: float) -> Floats:
    """How much the difference from a wanted colour changes, |ΔE00 - ΔE00 as planned|.

    Wanted are 300 mixes of the four pots in any shares, not in whole drops; each is mixed by its
    nearest recipe, 20 times over.
    """
    ratios = distinct_ratios(len(POTS), 8).astype(float)
    rng = np.random.default_rng(7)
    wanted = _lab(rng.dirichlet(np.ones(len(POTS)), 300))
    apart = ciede2000(_lab(ratios)[None], wanted[:, None])
    mixed = _lab(_uneven(ratios[apart.argmin(axis=1)], 20, variation, rng))
    return np.abs(ciede2000(mixed, wanted) - apart.min(axis=1))


def _uneven(drops: Floats, times: int, variation: float, rng: np.random.Generator) -> Floats:
    """(times, recipes, pots) drops that vary each by itself: n of them by the square root of n."""
    noise = rng.standard_normal((times, *drops.shape)) * np.sqrt(drops) * variation
    return np.maximum(drops + noise, 0.0)


# Measured here with swatches from memory and default strengths. It doubles as the variation does.
# +-20 %: another seed moves the medians by 2 %, other pots of the two shipped racks by up to 15 %.
@pytest.mark.parametrize(("variation", "median"), [(0.05, 0.28), (0.10, 0.55), (0.20, 1.1)])
def test_drops_that_vary_move_a_mix_in_proportion(variation: float, median: float) -> None:
    assert np.median(_moved(variation)) == pytest.approx(median, rel=0.2)


# Measured here, as above. Earlier trials with synthetic acrylics gave medians of 0.13, 0.25 and
# 0.55, and nine in ten within 0.5, 1.0 and 2.1; of the ways to count, this one comes nearest.
@pytest.mark.parametrize(
    ("variation", "median", "most"), [(0.05, 0.11, 0.38), (0.10, 0.22, 0.77), (0.20, 0.49, 1.7)]
)
def test_drops_that_vary_bring_a_recipe_nearer_or_farther_by_half_of_that(
    variation: float, median: float, most: float
) -> None:
    missed = _missed(variation)
    assert np.median(missed) == pytest.approx(median, rel=0.2)
    assert np.percentile(missed, 90) == pytest.approx(most, rel=0.2)


def test_what_is_not_ranked_is_about_what_drops_of_a_fifth_more_or_less_do() -> None:
    assert 0.5 * SAME < np.median(_moved(0.2)) < 2.0 * SAME
