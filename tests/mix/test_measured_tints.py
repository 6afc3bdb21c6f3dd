"""Measured oil tints: calibrated on about 10 % of a paint in white, about 50 % is predicted.

Geldof, Proano Gaibor, Ligterink, Hendriks & Kirchner 2018, Heritage Science 6:17 (CC0 1.0); nine
paints: cochineal 04, minium 05, vermilion 06, viridian 09, emerald green 10, ultramarine 11, cobalt
blue 12, Prussian blue 13, chrome yellow 14, in zinc white 07A.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest

from preview.mix.calibrate import Dilution, fit_scattering_curve, with_scattering
from preview.optics.appearance import hex_from_reflectance, lab_from_reflectance
from preview.optics.cie1976_lab import lab_from_xyz
from preview.optics.ciede2000 import ciede2000
from preview.optics.spectrum import Floats
from preview.optics.srgb_iec61966 import (
    SRGB_WHITE,
    lab_from_hex,
    linear_from_encoded,
    srgb8_from_hex,
    xyz_from_linear,
)
from preview.rack.load import load_rack
from preview.rack.paint import Rack
from tests.oil_films import PAINTS, WHITE, films, measured_rack, swatch_rack


@dataclass(frozen=True, eq=False)
class Film:
    """A measured film: share of paint by mass, reflectance."""

    share: float
    reflectance: Floats


FILMS = {name: Film(*film) for name, film in films().items()}


def _calibrated(rack: Rack, paint: str, suffix: str, swatch: bool) -> Rack:
    """The rack with one paint calibrated on one of its tints."""
    tint = FILMS[paint + suffix]
    seen = lab_from_reflectance(tint.reflectance)
    if swatch:
        seen = lab_from_hex(hex_from_reflectance(tint.reflectance))
    pot = rack.paints[paint + "A"]
    curve = fit_scattering_curve(pot, [Dilution(rack.paints[WHITE], tint.share, seen)])
    return replace(rack, paints={**rack.paints, paint + "A": with_scattering(pot, curve)})


def _error(rack: Rack, paint: str, suffix: str) -> float:
    """CIEDE2000 between a measured tint and the mix of as many drops."""
    film = FILMS[paint + suffix]
    drops = round(1000 * film.share)
    mix = rack.mix({paint + "A": drops, WHITE: 1000 - drops})
    return float(ciede2000(mix.lab, lab_from_reflectance(film.reflectance)))


def _error_of_averaged_srgb(paint: str) -> float:
    """CIEDE2000 of the plain mean of encoded sRGB."""
    film = FILMS[paint + "C"]
    own, white = (
        srgb8_from_hex(hex_from_reflectance(FILMS[name].reflectance)) / 255.0
        for name in (paint + "A", WHITE)
    )
    mean = film.share * own + (1 - film.share) * white
    lab = lab_from_xyz(xyz_from_linear(linear_from_encoded(mean)), SRGB_WHITE)
    return float(ciede2000(lab, lab_from_reflectance(film.reflectance)))


@pytest.fixture(scope="module")
def racks(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Rack]:
    folder = tmp_path_factory.mktemp("oils")
    return {"measured": measured_rack(folder), "swatch": swatch_rack(folder)}


@pytest.mark.parametrize("kind", ["measured", "swatch"])
def test_half_tints_are_predicted_from_the_tenth(kind: str, racks: dict[str, Rack]) -> None:
    rack = racks[kind]
    errors = [
        _error(_calibrated(rack, paint, "B", kind == "swatch"), paint, "C") for paint in PAINTS
    ]
    averaged = [_error_of_averaged_srgb(paint) for paint in PAINTS]
    # Measured here: medians 1.8 (spectra) and 2.1 (swatches), against 21.9 for averaged sRGB
    assert np.median(errors) <= 3.0
    assert np.median(errors) <= np.median(averaged) / 2
    assert max(errors) <= 6.0


@pytest.mark.parametrize("kind", ["measured", "swatch"])
def test_tenths_are_predicted_from_the_half(kind: str, racks: dict[str, Rack]) -> None:
    rack = racks[kind]
    errors = [
        _error(_calibrated(rack, paint, "C", kind == "swatch"), paint, "B") for paint in PAINTS
    ]
    # Measured here: medians 2.2 and 2.9; Prussian blue is off by 11
    assert np.median(errors) <= 3.0
    assert max(errors) <= 11.5


@pytest.mark.parametrize("kind", ["measured", "swatch"])
def test_without_calibration_half_tints_are_still_nearer_than_averaging(
    kind: str, racks: dict[str, Rack]
) -> None:
    half, tenth = ([_error(racks[kind], p, end) for p in PAINTS] for end in ("C", "B"))
    averaged = [_error_of_averaged_srgb(paint) for paint in PAINTS]
    # Measured here: medians 5.8 (spectra) and 5.7 (swatches), against 21.9; of the tenths 7.6 and
    # 8.8; the worst, Prussian blue, at 15 and 33
    assert np.median(averaged) == pytest.approx(21.9, abs=0.1)
    assert np.median(half) <= 6.0
    assert np.median(tenth) <= 9.0
    assert max(half) <= 15.5
    assert max(tenth) <= 33.5


def test_calibration_says_so_and_leaves_the_pot_itself_alone(racks: dict[str, Rack]) -> None:
    rack = racks["swatch"]
    fitted = _calibrated(rack, "11", "B", True)
    assert fitted.paints["11A"].calibrated
    assert fitted.mix({"11A": 1}).certainty == "calibrated"
    assert fitted.mix({"11A": 1, WHITE: 1}).certainty == "estimate"
    np.testing.assert_allclose(
        fitted.mix({"11A": 1}).reflectance, rack.mix({"11A": 1}).reflectance, rtol=1e-12
    )


def test_measured_pots_come_back_as_measured(racks: dict[str, Rack]) -> None:
    for film in (WHITE, *(paint + "A" for paint in PAINTS)):
        mix = racks["measured"].mix({film: 1})
        assert mix.certainty == "measured"
        np.testing.assert_allclose(mix.reflectance, FILMS[film].reflectance, rtol=1e-12)
    assert racks["measured"].mix({"11A": 1, "13A": 1}).certainty == "estimate"


def test_a_rack_file_keeps_a_calibration(racks: dict[str, Rack], tmp_path: Path) -> None:
    paint, white = racks["swatch"].paints["12A"], racks["swatch"].paints[WHITE]
    tint = FILMS["12B"]
    seen = lab_from_reflectance(tint.reflectance)
    numbers = fit_scattering_curve(paint, [Dilution(white, tint.share, seen)])
    (tmp_path / "kept.toml").write_text(
        f'[[paint]]\nname = "12A"\nsrgb = "{hex_from_reflectance(FILMS["12A"].reflectance)}"\n'
        f"scattering = {list(numbers)}\n",
        encoding="utf-8",
    )
    kept = load_rack(tmp_path / "kept.toml").paints["12A"]
    fitted = with_scattering(paint, numbers)
    np.testing.assert_allclose(kept.scattering, fitted.scattering, rtol=1e-12)
    assert kept.calibrated
