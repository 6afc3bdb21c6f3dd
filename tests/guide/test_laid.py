"""Where paint lies: shares add up, blends are shared, glazes lie on something."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from preview.flow import paint_sculpt
from preview.guide.amounts import Amounts
from preview.guide.laid import BASE_COATS, MOST_COATS, laid_steps, step_shares
from preview.paint.table import LEVELS


def test_shown_steps_add_up_to_the_area(amounts: Amounts) -> None:
    for row in amounts.painted.coverage:
        shown = [laid.shown_mm2 for laid in amounts.laid if laid.area == row.area]
        if row.steps:
            assert sum(shown) == pytest.approx(row.mm2, rel=1e-9)
        else:
            assert shown == []


def test_the_areas_are_those_of_spheres(amounts: Amounts) -> None:
    # 4 pi r^2, of which an icosphere of 1280 faces lacks less than 1 %.
    rows = {row.area: row.mm2 for row in amounts.painted.coverage}
    assert rows["post"] == pytest.approx(4 * math.pi * 4**2, rel=0.01)


def test_hidden_faces_take_no_paint(amounts: Amounts) -> None:
    sculpt = amounts.painted.sculpt
    up = sculpt.normal[:, 2] >= 0
    hidden = replace(amounts.painted, sculpt=replace(sculpt, exposed=up))
    painted = [k for k, ramp in enumerate(amounts.painted.ramp_of_area) if ramp is not None]
    left = sculpt.mm2[up & np.isin(sculpt.area, painted)].sum()
    assert sum(laid.shown_mm2 for laid in laid_steps(hidden)) == pytest.approx(left, rel=1e-5)


def test_every_tone_is_shared_out_and_the_middle_of_a_blend_is_half_and_half(scheme_of) -> None:
    ramp = scheme_of(
        "shadow = { cold = 1 }\nmidtone = { warm = 1 }\nbegins = [0.0, 0.5]\nblend_width = 0.4"
    ).ramps["plain"]
    shares = step_shares(ramp)
    assert shares.shape == (LEVELS, 2)
    assert np.allclose(shares.sum(axis=1), 1.0)
    middle = shares[LEVELS // 2 - 1 : LEVELS // 2 + 1]
    assert middle.mean(axis=0) == pytest.approx([0.5, 0.5], abs=1e-9)
    assert shares[0].tolist() == [1.0, 0.0]
    assert shares[-1].tolist() == [0.0, 1.0]
    # Smooth share 3 s^2 - 2 s^3 a quarter of the way in is 5/32.
    quarter = shares[round((0.3 + 0.1) * (LEVELS - 1)), 1]
    assert quarter == pytest.approx(5 / 32, abs=0.01)


def test_layered_steps_share_nothing(scheme_of) -> None:
    text = 'shadow = { cold = 1 }\nmidtone = { warm = 1 }\nedges = "layered"'
    assert set(np.unique(step_shares(scheme_of(text).ramps["plain"]))) == {0.0, 1.0}


def test_the_midtone_lies_over_the_whole_area(globe, scheme_of) -> None:
    text = """shadow = { cold = 1 }
midtone = { warm = 1 }
highlight = { pale = 1 }"""
    shadow, midtone, highlight = laid_steps(paint_sculpt(globe, scheme_of(text)))
    whole = globe.sculpt.mm2.sum()
    assert midtone.first
    assert midtone.over == "primer"
    assert midtone.shown_mm2 + midtone.under_mm2 == pytest.approx(whole, rel=1e-5)
    assert midtone.coat_mm2 == pytest.approx(midtone.coats * whole, rel=1e-5)
    for other in (shadow, highlight):
        assert not other.first
        assert other.over == "midtone"
        assert 0 < other.shown_mm2 < whole
        assert other.under_mm2 == 0
        assert other.coat_mm2 == pytest.approx(other.coats * other.shown_mm2)


def test_where_the_midtone_is_a_glaze_the_largest_opaque_step_goes_first(globe, scheme_of) -> None:
    text = """shadow = { cold = 1 }
midtone = { warm = 1, glaze = 0.5, over = "shadow" }
highlight = { pale = 1 }
begins = [0.0, 0.6, 0.9]"""
    shadow, midtone, highlight = laid_steps(paint_sculpt(globe, scheme_of(text)))
    assert shadow.shown_mm2 > highlight.shown_mm2 > 0
    assert (shadow.first, midtone.first, highlight.first) == (True, False, False)
    assert shadow.under_mm2 == pytest.approx(midtone.shown_mm2 + highlight.shown_mm2)
    assert (midtone.over, highlight.over) == ("shadow", "shadow")


def test_glazes_alone_have_no_base_coat(globe, scheme_of) -> None:
    text = """shadow = { cold = 1, glaze = 0.5, over = "primer" }
midtone = { warm = 1, glaze = 0.2, over = "primer" }"""
    for row in laid_steps(paint_sculpt(globe, scheme_of(text))):
        assert not row.first
        assert row.under_mm2 == 0
        assert row.over == "primer"


def test_what_lies_under_a_glaze_is_counted(globe, scheme_of) -> None:
    text = 'shadow = { cold = 1, glaze = 0.5, over = "midtone" }\nmidtone = { warm = 1 }'
    shadow, midtone = laid_steps(paint_sculpt(globe, scheme_of(text)))
    assert shadow.shown_mm2 > 0
    assert midtone.under_mm2 == pytest.approx(shadow.shown_mm2)
    assert shadow.coats == 0.5
    assert shadow.coat_mm2 == pytest.approx(0.5 * shadow.shown_mm2)
    whole = shadow.shown_mm2 + midtone.shown_mm2
    assert midtone.coat_mm2 == pytest.approx(midtone.coats * whole)


def test_a_glaze_on_primer_and_a_glaze_on_a_glaze(globe, scheme_of) -> None:
    text = """shadow = { cold = 1, glaze = 0.5, over = "primer" }
midtone = { warm = 1 }
highlight = [{ pale = 1, glaze = 0.4 }, { brown = 1, glaze = 0.2 }]"""
    shadow, midtone, first, second = laid_steps(paint_sculpt(globe, scheme_of(text)))
    assert shadow.under_mm2 == second.under_mm2 == 0.0
    assert first.under_mm2 == pytest.approx(second.shown_mm2)
    # The base coat stops where a glaze lies on primer.
    assert midtone.first
    assert midtone.under_mm2 == pytest.approx(first.shown_mm2 + second.shown_mm2)


def test_coats_are_those_that_hide_the_primer(globe, scheme_of) -> None:
    scheme = scheme_of("midtone = { warm = 1 }", warm="lamp yellow")
    (row,) = laid_steps(paint_sculpt(globe, scheme))
    mix = scheme.ramps["plain"].midtone.mix
    assert row.coats == mix.coats_to_hide(scheme.primer.reflectance) > BASE_COATS
    assert row.hides
    (asked,) = laid_steps(paint_sculpt(globe, scheme), coats=1)
    assert asked.coats == 1
    assert not asked.hides


def test_other_steps_take_as_many_coats_as_hide_the_base_coat(globe, scheme_of) -> None:
    scheme = scheme_of("midtone = { brown = 1 }\nhighlight = { pale = 1 }")
    painted = paint_sculpt(globe, scheme)
    midtone, highlight = laid_steps(painted)
    brown, pale = (scheme.ramps["plain"].step(n).mix for n in ("midtone", "highlight"))
    assert midtone.coats == max(BASE_COATS, brown.coats_to_hide(scheme.primer.reflectance))
    assert highlight.coats == pale.coats_to_hide(brown.reflectance) > 1
    # What is asked for holds for all of them.
    assert [row.coats for row in laid_steps(painted, coats=1)] == [1, 1]


def test_paint_like_the_primer_takes_two_coats_and_glassy_paint_says_so(globe, tmp_path) -> None:
    from preview.ramp.load import load_scheme

    rack = '[[paint]]\nname = "clear"\nsrgb = "#f4e060"\nhiding = "transparent"\n'
    (tmp_path / "glass.toml").write_text(rack, encoding="utf-8")
    for primer, coats, hides in (
        ("clear", float(BASE_COATS), True),
        ("black", float(MOST_COATS), False),
    ):
        text = f"""title = "Glass"\nrack = "glass"\nprimer = "{primer}"
pots = {{ warm = "clear" }}\nramps.plain.midtone = {{ warm = 1 }}\nareas.plain = "plain"\n"""
        (tmp_path / "scheme.toml").write_text(text, encoding="utf-8")
        (row,) = laid_steps(paint_sculpt(globe, load_scheme(tmp_path / "scheme.toml")))
        assert (row.coats, row.hides) == (coats, hides)
