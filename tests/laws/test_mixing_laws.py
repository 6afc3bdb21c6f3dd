"""Laws of mixing that hold for every paint and every recipe."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from preview.mix.film import film_over_ground
from preview.mix.kubelka_munk_1931 import ratio_from_reflectance, reflectance_from_ratio
from preview.mix.mixture import Mix
from preview.mix.recipes import blend, mix_mixes
from preview.mix.saunderson_1942 import inner_from_outer, outer_from_inner
from preview.optics.cie1976_lab import lab_from_xyz
from preview.optics.ciede2000 import ciede2000
from preview.optics.spectrum import WAVELENGTHS_NM
from preview.optics.srgb_iec61966 import (
    SRGB_WHITE,
    hex_from_srgb8,
    linear_from_srgb8,
    xyz_from_linear,
)
from preview.rack.entry import read_paint
from preview.rack.load import load_rack
from preview.rack.paint import Paint, Rack
from preview.rack.place import Place

PAINTS = sorted({*load_rack("harbour").paints, *load_rack("pigments").paints})
# No deadline: slow machines are no fault; the same examples each time
calm = settings(deadline=None, derandomize=True, max_examples=60)
shares = st.floats(0.0, 1.0)
amounts = st.dictionaries(st.sampled_from(PAINTS), st.integers(1, 40), min_size=1, max_size=5)


@cache
def _rack() -> Rack:
    """All shipped paints in one rack."""
    return Rack("all", {**load_rack("harbour").paints, **load_rack("pigments").paints})


def _swatch(text: str) -> Paint:
    place = Place("swatch")
    paint = read_paint(place, {"name": text, "srgb": text}, Path())
    assert paint is not None, place.faults
    return paint


def _close(first: Mix, second: Mix) -> None:
    np.testing.assert_allclose(first.reflectance, second.reflectance, rtol=1e-10)
    np.testing.assert_allclose(first.absorption, second.absorption, rtol=1e-10)
    np.testing.assert_allclose(first.scattering, second.scattering, rtol=1e-10)


@calm
@given(name=st.sampled_from(PAINTS), drops=st.integers(1, 500))
def test_a_paint_with_itself_is_itself(name: str, drops: int) -> None:
    pot = _rack().mix({name: 1})
    _close(_rack().mix({name: drops}), pot)
    _close(mix_mixes([(pot, drops), (pot, 3)]), pot)
    _close(blend(pot, pot, 0.37), pot)


@calm
@given(drops=amounts, times=st.integers(2, 30))
def test_scale_of_the_drops_does_not_matter(drops: dict[str, int], times: int) -> None:
    once = _rack().mix(drops)
    many = _rack().mix({name: amount * times for name, amount in drops.items()})
    assert dict(once.recipe) == dict(many.recipe)
    np.testing.assert_array_equal(once.reflectance, many.reflectance)


@calm
@given(drops=amounts, order=st.randoms(use_true_random=False))
def test_order_of_the_drops_does_not_matter(drops: dict[str, int], order: Random) -> None:
    names = list(drops)
    order.shuffle(names)
    again = _rack().mix({name: drops[name] for name in names})
    np.testing.assert_array_equal(again.reflectance, _rack().mix(drops).reflectance)


@calm
@given(drops=amounts)
def test_a_mix_of_mixes_is_the_mix_of_their_paints(drops: dict[str, int]) -> None:
    straight = _rack().mix(drops)
    step_by_step = mix_mixes([(_rack().mix({name: 1}), n) for name, n in drops.items()])
    assert dict(step_by_step.recipe) == dict(straight.recipe)
    _close(step_by_step, straight)


@calm
@given(drops=amounts)
def test_a_mix_lies_between_its_paints(drops: dict[str, int]) -> None:
    """Per band, K/S inside lies between the least and the greatest of the parts."""
    mix = _rack().mix(drops)
    pots = [_rack().mix({name: 1}) for name in drops]
    ratios = np.stack([pot.absorption / pot.scattering for pot in pots])
    own = mix.absorption / mix.scattering
    assert np.all(own >= ratios.min(axis=0) * (1 - 1e-12))
    assert np.all(own <= ratios.max(axis=0) * (1 + 1e-12))
    assert np.all((mix.reflectance > 0) & (mix.reflectance <= 1))


@calm
@given(first=st.sampled_from(PAINTS), second=st.sampled_from(PAINTS), more=shares, less=shares)
def test_blending_goes_steadily_from_one_to_the_other(
    first: str, second: str, more: float, less: float
) -> None:
    """Per band, K/S inside moves one way only."""
    start, end = (_rack().mix({name: 1}) for name in (first, second))
    early, late = (blend(start, end, share) for share in sorted((more, less)))

    def ratio(mix: Mix) -> np.ndarray:
        return mix.absorption / mix.scattering

    toward = np.sign(ratio(end) - ratio(start))
    assert np.all((ratio(late) - ratio(early)) * toward >= -1e-9 * ratio(late))


@calm
@given(srgb8=st.tuples(*(st.integers(0, 255),) * 3))
def test_a_pot_alone_gives_its_swatch_back(srgb8: tuple[int, int, int]) -> None:
    paint = _swatch(hex_from_srgb8(srgb8))
    mix = Rack("one", {paint.name: paint}).mix({paint.name: 2})
    wanted = lab_from_xyz(xyz_from_linear(linear_from_srgb8(srgb8)), SRGB_WHITE)
    assert ciede2000(mix.lab, wanted) < 0.5


def test_every_corner_and_near_black_swatch_comes_back_through_the_mixing_model() -> None:
    levels = [0, 1, 4, 13, 57, 255]
    for srgb8 in np.stack(np.meshgrid(levels, levels, levels), axis=-1).reshape(-1, 3):
        paint = _swatch(hex_from_srgb8(srgb8))
        mix = Rack("one", {paint.name: paint}).mix({paint.name: 1})
        wanted = lab_from_xyz(xyz_from_linear(linear_from_srgb8(srgb8)), SRGB_WHITE)
        # The promise is 0.5; measured maximum 0.369, at #390000.
        assert ciede2000(mix.lab, wanted) < 0.38, srgb8
        assert 0.0 <= paint.surface_k1 < paint.reflectance.min()
        assert np.all(mix.absorption >= 0)


@calm
@given(ratio=st.floats(1e-6, 1e4))
def test_ratio_and_reflectance_are_inverses(ratio: float) -> None:
    assert ratio_from_reflectance(reflectance_from_ratio(ratio)) == pytest.approx(ratio, rel=1e-8)


@calm
@given(inner=shares, k1=st.floats(0, 0.2), k2=st.floats(0, 0.97))
def test_the_surface_can_be_taken_off_and_put_back(inner: float, k1: float, k2: float) -> None:
    outer = outer_from_inner(inner, k1, k2)
    assert k1 - 1e-12 <= outer <= 1 + 1e-12
    assert inner_from_outer(outer, k1, k2) == pytest.approx(inner, abs=1e-9)


@calm
@given(
    absorption=st.floats(0, 50),
    scattering=st.floats(1e-3, 50),
    ground=shares,
    first=st.floats(0, 3),
    second=st.floats(0, 3),
)
def test_coats_add_up(
    absorption: float, scattering: float, ground: float, first: float, second: float
) -> None:
    beneath = film_over_ground(absorption, scattering, ground, first)
    stacked = film_over_ground(absorption, scattering, beneath, second)
    once = film_over_ground(absorption, scattering, ground, first + second)
    assert stacked == pytest.approx(float(once), rel=1e-9, abs=1e-12)
    low, high = sorted((ground, float(reflectance_from_ratio(absorption / scattering))))
    assert low - 1e-9 <= once <= high + 1e-9


def test_spectra_stand_on_the_one_grid() -> None:
    assert WAVELENGTHS_NM.tolist() == list(range(400, 701, 10))
    assert all(paint.reflectance.shape == (31,) for paint in _rack().paints.values())
