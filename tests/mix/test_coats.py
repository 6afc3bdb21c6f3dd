"""Paint over a ground: coats, hiding, thinning."""

from __future__ import annotations

import numpy as np
import pytest

from preview.mix.coats import HIDING_CONTRAST
from preview.mix.mixture import Mix
from preview.optics.appearance import xyz_from_reflectance
from preview.rack.load import load_rack

HARBOUR = load_rack("harbour")
BLACK, GREY, WHITE = np.full(31, 0.04), np.full(31, 0.2), np.full(31, 0.85)


def _pot(name: str) -> Mix:
    return HARBOUR.mix({name: 1})


@pytest.mark.parametrize("name", ["sailcloth", "lamp yellow", "deep sea blue", "old brass"])
def test_no_coat_leaves_the_ground_and_many_hide_it(name: str) -> None:
    pot = _pot(name)
    for ground in (BLACK, GREY, WHITE):
        np.testing.assert_allclose(pot.over(ground, 0.0), ground, rtol=1e-12)
        np.testing.assert_allclose(pot.over(ground, 1e5), pot.reflectance, rtol=1e-9)


def test_coats_and_grounds_broadcast() -> None:
    pot = _pot("sailcloth")
    grounds = np.stack([BLACK, WHITE])[:, None, :]
    seen = pot.over(grounds, np.array([[1.0], [2.0], [3.0]]))
    assert seen.shape == (2, 3, 31)
    np.testing.assert_allclose(seen[1, 2], pot.over(WHITE, 3.0), rtol=1e-12)


def test_each_coat_brings_a_pale_paint_on_black_nearer_to_its_own_lightness() -> None:
    pot = _pot("sailcloth")
    y = [float(xyz_from_reflectance(pot.over(BLACK, coats))[1]) for coats in range(8)]
    assert np.all(np.diff(y) > 0)
    assert y[-1] < pot.xyz[1]


@pytest.mark.parametrize("name", ["sailcloth", "whitewash", "lamp yellow", "buoy red", "soot"])
def test_coats_to_hide_is_the_first_that_reaches_the_contrast_ratio(name: str) -> None:
    pot = _pot(name)
    coats = pot.coats_to_hide()
    assert coats is not None

    def contrast(number: int) -> float:
        on_black, on_white = (
            float(xyz_from_reflectance(pot.over(ground, number))[1])
            for ground in (np.zeros(31), np.full(31, 0.8))
        )
        return on_black / on_white

    assert contrast(coats) >= HIDING_CONTRAST
    assert coats == 1 or contrast(coats - 1) < HIDING_CONTRAST


def test_more_transparent_paints_need_more_coats() -> None:
    pigments = load_rack("pigments")
    opaque = pigments.mix({"PY42": 1}).coats_to_hide()
    transparent = pigments.mix({"PY83": 1}).coats_to_hide()
    assert opaque is not None
    assert transparent is None or transparent > opaque


def test_a_paint_over_its_own_colour_needs_no_coat_and_a_contrast_needs_some() -> None:
    pot = _pot("sailcloth")
    assert pot.coats_to_hide(pot.reflectance) == 0
    over_black, over_pale = pot.coats_to_hide(BLACK), pot.coats_to_hide(WHITE)
    assert over_black is not None
    assert over_pale is not None
    assert over_black > over_pale > 0


def test_what_hardly_scatters_never_hides() -> None:
    clear = _pot("lamp yellow").thinned(1e-6)
    assert clear.coats_to_hide() is None


def test_thinning_keeps_the_colour_and_weakens_the_coat() -> None:
    pot = _pot("buoy red")
    glaze = pot.thinned(0.25)
    np.testing.assert_allclose(glaze.reflectance, pot.reflectance, rtol=1e-12)
    np.testing.assert_allclose(glaze.over(GREY, 4.0), pot.over(GREY, 1.0), rtol=1e-10)
    assert glaze.recipe == pot.recipe
