"""Calibrations that must hold exactly, the choice between fits, and tints to be refused."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from preview.errors import CannotDo
from preview.mix.calibrate import (
    Dilution,
    fit_scattering_curve,
    predicted_tints,
    tint_errors,
    with_scattering,
)
from preview.mix.calibration import BENT_BLACK, USUAL_STRENGTH, calibrate
from preview.mix.certainty import MEDIAN_ERROR, certainty_in_words, median_error
from preview.mix.kubelka_munk_1931 import ratio_from_reflectance
from preview.mix.recipes import constants_of
from preview.mix.saunderson_1942 import inner_from_outer
from preview.mix.undertone import ask_for_tint, hides_undertone
from preview.optics.appearance import lab_from_reflectance
from preview.optics.cie1976_lab import hue_deg_from_lab
from preview.optics.srgb_iec61966 import lab_from_hex
from preview.rack.load import load_rack
from preview.rack.paint import Paint
from tests.oil_films import PAINTS, dilution, foretold, measured_rack, swatch_rack
from tests.oil_films import WHITE as OIL_WHITE
from tests.palette.racks import swatch

HARBOUR = load_rack("harbour")
WHITE = HARBOUR.paints["whitewash"]
BLUE = HARBOUR.paints["deep sea blue"]
RED = HARBOUR.paints["buoy red"]


# Pots and their tints 1:1 in white, mixed by two-constant theory from the measured K and S of
# acrylics in Okumura 2005 (thesis, Rochester Institute of Technology); pigments by Colour Index.
ACRYLIC_WHITE = "#f5f5f2"
ACRYLICS = {
    "PY74": ("#ffcf00", "#ffdb39"),
    "PB15:4": ("#383254", "#0079b9"),
    "PB29": ("#353154", "#5d83da"),
    "PR254": ("#be2530", "#d45365"),
    "PG7": ("#2e3d44", "#009b88"),
    "PBr7": ("#443833", "#937b6c"),
    "PBk7": ("#3c3c3c", "#46484b"),
}


def _acrylic_tint(pot: str) -> Dilution:
    """The tint of one of them."""
    return Dilution(swatch("PW6", ACRYLIC_WHITE), 0.5, lab_from_hex(ACRYLICS[pot][1]))


def _tint(paint: Paint, share: float) -> Dilution:
    """What the model itself says of a paint in white."""
    blank = Dilution(WHITE, share, np.zeros(3))
    return replace(blank, lab=lab_from_reflectance(predicted_tints(paint, [blank])[0]))


@given(
    p0=st.floats(-3.0, 0.5),
    p1=st.floats(-0.8, 0.8),
    p2=st.floats(-0.8, 0.8),
    share=st.sampled_from([0.1, 0.25, 0.5]),
    paint=st.sampled_from([BLUE, RED]),
)
@settings(max_examples=12, deadline=None)
def test_a_tint_made_by_the_model_is_foretold_within_the_ridge(
    p0: float, p1: float, p2: float, share: float, paint: Paint
) -> None:
    made = _tint(with_scattering(paint, (p0, p1, p2)), share)
    fitted = with_scattering(paint, fit_scattering_curve(paint, [made]))
    again = lab_from_reflectance(predicted_tints(fitted, [made])[0])
    # The best fit costs no more than the true curve does, which misses nothing but pays its ridge
    ridge = 2.0 * float(np.sqrt((0.2 * p0) ** 2 + p1**2 + p2**2))
    assert np.linalg.norm(again - made.lab) <= ridge + 0.05


@pytest.mark.parametrize("paint", [BLUE, RED])
@pytest.mark.parametrize("p0", [-2.5, -1.0, 0.2])
def test_one_number_comes_back_and_a_curve_falls_back_to_it(paint: Paint, p0: float) -> None:
    made = _tint(with_scattering(paint, (p0, 0.0, 0.0)), 0.2)
    one = fit_scattering_curve(paint, [made], terms=1)
    three = fit_scattering_curve(paint, [made])
    assert one[1:] == (0.0, 0.0)
    assert one[0] == pytest.approx(p0, abs=0.02)
    np.testing.assert_allclose(three, one, atol=0.02)
    taken = calibrate(paint, [made], ["tint"])
    assert taken.terms == 1
    assert taken.curve == one


@pytest.mark.parametrize("share", [0.1, 0.5])
def test_the_closed_form_of_one_dilution(share: float) -> None:
    """s = (1 - c)(q_t - q_w) / [c (q_m - q_t)], band by band, with q = K/S inside the paint."""
    own = with_scattering(BLUE, (-1.3, 0.4, -0.2))
    tint = predicted_tints(own, [Dilution(WHITE, share, np.zeros(3))])[0]
    absorption, scattering, surface = constants_of([own, WHITE])
    q_m, q_w = absorption / scattering
    k1, k2 = share * surface[0] + (1.0 - share) * surface[1]
    q_t = ratio_from_reflectance(inner_from_outer(tint, k1, k2))
    closed = (1.0 - share) * (q_t - q_w) / (share * (q_m - q_t))
    np.testing.assert_allclose(closed, own.scattering, rtol=1e-6)


def test_several_tints_are_fitted_together(tmp_path: Path) -> None:
    rack = swatch_rack(tmp_path)
    for paint in ("05", "11"):
        pot = rack.paints[paint + "A"]
        both = [dilution(rack, paint + end) for end in "BC"]
        joint = calibrate(pot, both, ["10 %", "50 %"])
        singles = [calibrate(pot, [alone], ["alone"]).paint for alone in both]
        worst = max(tint_errors(single, both).max() for single in singles)
        assert joint.after.max() <= worst
        assert joint.after.max() < joint.before.max() / 3


def test_median_errors_told_are_those_of_the_oil_tints(tmp_path: Path) -> None:
    rack = swatch_rack(tmp_path)
    for certainty, most in (("calibrated", 5.1), ("estimate", 16.2)):
        errors = foretold(rack, certainty == "calibrated")
        assert MEDIAN_ERROR[certainty] == pytest.approx(np.median(errors), abs=0.051)
        # Nine in ten; measured here: 5.13 and 16.19
        assert np.percentile(errors, 90) == pytest.approx(most, abs=0.1)


def test_three_numbers_are_taken_where_they_foretell_better(tmp_path: Path) -> None:
    rack = swatch_rack(tmp_path)
    errors = {1: [], 3: []}
    for own, end in (("B", "C"), ("C", "B")):
        for paint in PAINTS:
            pot = rack.paints[paint + "A"]
            seen, other = dilution(rack, paint + own), dilution(rack, paint + end, swatch=False)
            for terms in (1, 3):
                fitted = with_scattering(pot, fit_scattering_curve(pot, [seen], terms))
                errors[terms].append(tint_errors(fitted, [other])[0])
    one, three = np.array(errors[1]), np.array(errors[3])
    # Measured here: 5.27 with one number, 2.41 with three, which are better 17 times in 18
    assert np.median(one) == pytest.approx(5.27, abs=0.1)
    assert np.median(three) == pytest.approx(2.41, abs=0.1)
    assert (three < one).sum() == 17


def test_certainty_is_told_with_its_error_and_not_for_a_pot_alone() -> None:
    mix = HARBOUR.mix({"deep sea blue": 1, "whitewash": 1})
    assert certainty_in_words(mix) == "estimate (half of such mixes were within 7.3 ΔE00)"
    assert median_error(mix) == MEDIAN_ERROR["estimate"]
    pot = HARBOUR.mix({"deep sea blue": 2})
    assert median_error(pot) is None
    assert certainty_in_words(pot) == "the pot as swatched"


def test_dark_chromatic_pots_ask_for_a_tint_until_they_have_one() -> None:
    asking = [name for name, paint in HARBOUR.paints.items() if hides_undertone(paint)]
    assert "deep sea blue" in asking
    assert not {"soot", "whitewash", "rust orange"} & set(asking)
    assert "undertone" in ask_for_tint(BLUE, HARBOUR)
    assert not hides_undertone(with_scattering(BLUE, (-1.0, 0.0, 0.0)))


@pytest.mark.parametrize(
    ("lab", "says"),
    [
        (lab_from_reflectance(WHITE.reflectance), 'looks like "whitewash" itself'),
        (lab_from_reflectance(RED.reflectance) + 0.5, 'looks like "buoy red" itself'),
        ([20.0, 0.0, 0.0], "however strong the paint is taken, this tint would be #"),
        ([60.0, -40.0, 20.0], "however strong the paint is taken, this tint would be #"),
    ],
)
def test_tints_that_these_paints_cannot_make_are_refused(lab: list[float], says: str) -> None:
    with pytest.raises(CannotDo, match=says) as caught:
        calibrate(RED, [Dilution(WHITE, 0.5, np.array(lab))], ["1:1"])
    assert all(fault.where == "1:1" and fault.fix for fault in caught.value.faults)


def test_contradicting_tints_are_refused() -> None:
    first = _tint(with_scattering(RED, (-1.0, 0.0, 0.0)), 0.1)
    lighter = replace(first, lab=first.lab + np.array([15.0, 0.0, 0.0]))
    with pytest.raises(CannotDo, match="two tints in the same parts"):
        calibrate(RED, [first, lighter], ["1:9 old", "1:9 new"])
    again = replace(first, lab=first.lab + np.array([1.0, 0.0, 0.0]))
    assert calibrate(RED, [first, again], ["old", "new"]).after.max() < 2.0


@pytest.mark.parametrize("swatch", [True, False])
def test_no_measured_tint_is_doubted(tmp_path: Path, swatch: bool) -> None:
    rack = swatch_rack(tmp_path) if swatch else measured_rack(tmp_path)
    for paint in PAINTS:
        tints = [dilution(rack, paint + end, swatch) for end in "BC"]
        for some in ([tints[0]], [tints[1]], tints):
            made = calibrate(rack.paints[paint + "A"], some, ["tint"] * len(some))
            assert made.doubts == (), paint


@pytest.mark.parametrize("share", [0.1, 0.5])
@pytest.mark.parametrize("pink", ["#c08f8f", "#e0a0b0", "#c87890"])
@pytest.mark.parametrize("blue", ["deep sea blue", "11A", "12A"])
def test_a_pink_tint_of_a_blue_is_doubted_and_told_what_it_would_be(
    tmp_path: Path, blue: str, pink: str, share: float
) -> None:
    rack = HARBOUR if blue in HARBOUR.paints else swatch_rack(tmp_path)
    white = rack.paints["whitewash" if rack is HARBOUR else OIL_WHITE]
    (doubt,) = calibrate(
        rack.paints[blue], [Dilution(white, share, lab_from_hex(pink))], ["tint"]
    ).doubts
    assert f'"{blue}" in "{white.name}" would look more like #' in doubt.words
    assert f"than {pink}" in doubt.words
    likely = lab_from_hex(doubt.words.split("more like ")[1][:7])
    assert 180.0 < hue_deg_from_lab(likely) < 330.0


def test_a_doubt_names_its_own_tint() -> None:
    blue = with_scattering(BLUE, (-1.0, 0.2, 0.0))
    tints = [_tint(blue, share) for share in (0.5, 0.2, 0.1)]
    assert calibrate(BLUE, tints, ["1:1", "1:4", "1:9"]).doubts == ()
    too_light = replace(tints[2], lab=tints[2].lab + np.array([12.0, 0.0, 0.0]))
    (doubt,) = calibrate(BLUE, [*tints[:2], too_light], ["1:1", "1:4", "1:9"]).doubts
    assert doubt.tint == 2
    assert doubt.words.startswith("with all tints taken together, this tint would be #")


@pytest.mark.parametrize("pot", ACRYLICS)
def test_no_tint_of_an_acrylic_is_doubted(pot: str) -> None:
    made = calibrate(swatch(pot, ACRYLICS[pot][0]), [_acrylic_tint(pot)], ["1:1"])
    assert made.doubts == ()
    assert USUAL_STRENGTH[0] < made.strength < USUAL_STRENGTH[1]


@pytest.mark.parametrize(
    ("pot", "wrong"),
    [("PB29", "PR254"), *product(("PBk7", "PB15:4", "PG7", "PBr7"), ("PY74", "PR254"))],
)
def test_a_yellow_or_red_tint_of_a_dark_pot_is_doubted_without_blame(pot: str, wrong: str) -> None:
    made = calibrate(swatch(pot, ACRYLICS[pot][0]), [_acrylic_tint(wrong)], ["1:1"])
    assert made.paint.scattering.max() > BENT_BLACK * made.paint.scattering.min()
    (doubt,) = made.doubts
    assert doubt.words.endswith("so dark a pot hides its undertone, so both may be right")


def test_a_light_pot_is_asked_whether_it_is_the_right_one() -> None:
    red = swatch("PR254", ACRYLICS["PR254"][0])
    (doubt,) = calibrate(red, [_acrylic_tint("PY74")], ["1:1"]).doubts
    assert doubt.words.endswith("is it the right paint?")


def test_strength_is_that_of_the_white_at_one() -> None:
    made = calibrate(BLUE, [_tint(with_scattering(BLUE, (-1.3, 0.0, 0.0)), 0.2)], ["1:4"])
    assert made.strength == pytest.approx(np.exp(-1.3), rel=0.03)


def test_swapped_parts_are_doubted() -> None:
    # The colour of one drop of blue in nine of white, said to be nine of blue in one of white.
    tint = lab_from_hex("#9fb0cc")
    right = calibrate(BLUE, [Dilution(WHITE, 0.1, tint)], ["right"])
    swapped = calibrate(BLUE, [Dilution(WHITE, 0.9, tint)], ["swapped"])
    assert not right.doubts
    (doubt,) = swapped.doubts
    assert "are the parts swapped?" in doubt.words


def test_dilutions_are_shares_and_lab() -> None:
    with pytest.raises(ValueError, match="share"):
        Dilution(WHITE, 1.0, np.zeros(3))
    with pytest.raises(ValueError, match="CIELAB"):
        Dilution(WHITE, 0.5, np.zeros(2))
