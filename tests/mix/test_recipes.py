"""Whole drops: what comes out, what is refused, and very many at once."""

from __future__ import annotations

from dataclasses import replace
from typing import cast

import numpy as np
import pytest

from preview.errors import UsageError
from preview.mix.mixture import Mix
from preview.mix.recipes import blend, constants_of, mix_mixes
from preview.mix.two_constant_duncan_1940 import mix_recipes, reflectance_of_mixes
from preview.optics.appearance import hex_from_reflectance, lab_from_reflectance
from preview.optics.cie1976_lab import xyz_from_lab
from preview.optics.ciede2000 import ciede2000
from preview.optics.lhtss_burns_2020 import reflectance_from_xyz
from preview.optics.weights import white
from preview.rack.defaults import surface_of
from preview.rack.load import load_rack
from preview.rack.paint import Paint, Rack

HARBOUR = load_rack("harbour")


def test_recipes_come_out_in_lowest_terms_and_in_the_order_of_the_rack() -> None:
    mix = HARBOUR.mix({"deep sea blue": 2, "rust orange": 4.0})
    assert list(mix.recipe.items()) == [("rust orange", 2), ("deep sea blue", 1)]


def test_a_pot_alone_is_itself() -> None:
    for name, paint in HARBOUR.paints.items():
        mix = HARBOUR.mix({name: 3})
        assert mix.recipe == {name: 1}
        np.testing.assert_allclose(mix.reflectance, paint.reflectance, rtol=1e-12)


def test_what_a_mix_looks_like_agrees_with_itself() -> None:
    mix = HARBOUR.mix({"rust orange": 2, "deep sea blue": 1})
    assert mix.srgb == hex_from_reflectance(mix.reflectance)
    np.testing.assert_array_equal(mix.lab, lab_from_reflectance(mix.reflectance))
    assert 0 < mix.xyz[1] < 1
    assert mix.certainty == "estimate"


def test_white_and_black_give_grey_and_far_more_of_the_black_s_depth() -> None:
    grey = HARBOUR.mix({"whitewash": 1, "soot": 1})
    assert np.hypot(*grey.lab[1:]) < 6
    # Paint darkens far below the mean of the two (L* 56)
    assert grey.lab[0] < 50


def test_yellow_and_blue_make_green() -> None:
    green = HARBOUR.mix({"lamp yellow": 3, "deep sea blue": 1})
    _, a, b = green.lab
    hue = np.degrees(np.arctan2(b, a)) % 360
    assert 100 < hue < 200


def test_one_drop_of_a_mix_counts_as_one_drop() -> None:
    mid = HARBOUR.mix({"rust orange": 3, "deep sea blue": 1})
    light = mix_mixes([(mid, 2), (HARBOUR.mix({"sailcloth": 1}), 1)])
    straight = HARBOUR.mix({"rust orange": 3, "deep sea blue": 1, "sailcloth": 2})
    assert dict(light.recipe) == dict(straight.recipe)
    np.testing.assert_allclose(light.reflectance, straight.reflectance, rtol=1e-12)


def test_a_blend_is_no_recipe_and_ends_in_its_parts() -> None:
    dark, pale = HARBOUR.mix({"soot": 1}), HARBOUR.mix({"sailcloth": 1})
    assert blend(dark, pale, 0.0) is dark
    assert blend(dark, pale, 1.0) is pale
    half = blend(dark, pale, 0.5)
    assert dict(half.recipe) == {}
    assert dict(mix_mixes([(half, 1), (pale, 1)]).recipe) == {}
    even = HARBOUR.mix({"soot": 1, "sailcloth": 1})
    np.testing.assert_allclose(half.reflectance, even.reflectance, rtol=1e-12)
    with pytest.raises(ValueError, match="share"):
        blend(dark, pale, 1.2)


def test_a_hundred_thousand_recipes_are_mixed_as_one_is() -> None:
    names = ["rust orange", "deep sea blue", "sailcloth", "tarred rope"]
    paints = [HARBOUR.paints[name] for name in names]
    drops = np.random.default_rng(4).integers(0, 9, (100_000, 4))
    drops[drops.sum(axis=1) == 0, 0] = 1
    absorption, scattering, surface = mix_recipes(*constants_of(paints), drops)
    together = reflectance_of_mixes(absorption, scattering, surface)
    assert together.shape == (100_000, 31)
    for row in (0, 17, 99_999):
        alone = HARBOUR.mix({n: int(d) for n, d in zip(names, drops[row], strict=True) if d})
        np.testing.assert_allclose(together[row], alone.reflectance, rtol=1e-12)


@pytest.mark.parametrize(
    "amount", [0, -1, 2.5, float("nan"), float("inf"), True, "2", None, 10**400, 20_000]
)
def test_amounts_that_are_no_whole_drops_are_refused(amount: object) -> None:
    with pytest.raises(UsageError, match="whole number") as caught:
        HARBOUR.mix({"soot": cast(float, amount)})
    assert caught.value.exit_code == 2


def test_all_faults_of_a_recipe_are_told_at_once() -> None:
    with pytest.raises(UsageError) as caught:
        HARBOUR.mix({"rust orang": 1, "soot": 0, "sailcloth": 2})
    assert len(caught.value.faults) == 2
    assert 'did you mean "rust orange"' in str(caught.value)
    assert '"soot"' in str(caught.value)


@pytest.mark.parametrize("nothing", [{}])
def test_nothing_cannot_be_mixed(nothing: dict[str, int]) -> None:
    with pytest.raises(UsageError, match="nothing to mix"):
        HARBOUR.mix(nothing)
    with pytest.raises(UsageError, match="nothing to mix"):
        mix_mixes([])


def _rack_of(*paints: Paint) -> Rack:
    return Rack("test", {paint.name: paint for paint in paints})


def test_certainty_is_that_of_the_least_certain_part() -> None:
    rust, sea = HARBOUR.paints["rust orange"], HARBOUR.paints["deep sea blue"]
    measured = replace(rust, certainty="measured", origin="measured")
    measured_and_calibrated = replace(measured, calibrated=True)
    calibrated = replace(sea, certainty="calibrated", calibrated=True)

    def of(first: Paint, second: Paint) -> Mix:
        return _rack_of(first, second).mix({first.name: 1, second.name: 1})

    assert _rack_of(measured).mix({rust.name: 1}).certainty == "measured"
    assert of(measured, calibrated).certainty == "estimate"
    assert of(measured_and_calibrated, calibrated).certainty == "calibrated"
    assert of(measured_and_calibrated, sea).certainty == "estimate"


def test_mixing_measured_pots_again_predicts_and_does_not_measure() -> None:
    rust, sea = HARBOUR.paints["rust orange"], HARBOUR.paints["deep sea blue"]
    rack = _rack_of(
        replace(rust, certainty="measured", calibrated=True),
        replace(sea, certainty="measured", calibrated=True),
    )
    pots = [rack.mix({name: 1}) for name in rack.paints]
    assert mix_mixes([(pots[0], 2), (pots[0], 1)]).certainty == "measured"
    assert mix_mixes([(pots[0], 1), (pots[1], 1)]).certainty == "calibrated"
    assert blend(pots[0], pots[1], 0.5).certainty == "calibrated"


def test_a_little_black_dulls_but_does_not_drown_a_white() -> None:
    """A swatch of #000000 has no endless tinting strength."""
    black = HARBOUR.paints["soot"]
    curve, _ = reflectance_from_xyz(xyz_from_lab([0.0, 0.0, 0.0], white()))
    k1, k2 = surface_of(curve, "swatch")
    darkest = replace(black, name="night", reflectance=curve, surface_k1=k1, surface_k2=k2)
    rack = _rack_of(darkest, HARBOUR.paints["whitewash"])
    assert ciede2000(rack.mix({"night": 1}).lab, [0, 0, 0]) < 0.5
    # One drop in twenty makes a middle grey, not another black (common practice, no source)
    assert 45 < rack.mix({"night": 1, "whitewash": 19}).lab[0] < 70
