"""Measured reflectances: CSV in both layouts, CGATS, other grids, and what is refused."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from preview.errors import RackFault
from preview.optics.spectrum import WAVELENGTHS_NM, Floats
from preview.rack.load import load_rack
from preview.rack.paint import Paint


def _curve(nm: Floats) -> Floats:
    """A smooth, paint-like reflectance."""
    return 0.06 + 0.7 / (1.0 + np.exp(-(np.asarray(nm) - 560.0) / 25.0))


def _load(folder: Path, text: str, *lines: str, file: str = "it.csv") -> Paint:
    """The one paint of a rack that names a measurement."""
    (folder / file).write_text(text, encoding="utf-8")
    entry = ["[[paint]]", 'name = "bone white"', f'reflectance = "{file}"', *lines, ""]
    (folder / "rack.toml").write_text("\n".join(entry), encoding="utf-8")
    return load_rack(folder / "rack.toml").paints["bone white"]


def _columns(nm: Floats, *curves: Floats, head: str = "") -> str:
    rows = [",".join(f"{value:.6f}" for value in row) for row in zip(nm, *curves, strict=True)]
    return "\n".join([head, *rows] if head else rows) + "\n"


def _cgats(nm: Floats, rows: dict[str, Floats], prefix: str = "SPECTRAL_NM") -> str:
    """A file as a handheld spectrophotometer's software writes it."""
    fields = "SAMPLE_ID\tSAMPLE_NAME\t" + "\t".join(f"{prefix}{value:.0f}" for value in nm)
    data = [
        f'{k}\t"{name}"\t' + "\t".join(f"{v:.5f}" for v in curve)
        for k, (name, curve) in enumerate(rows.items(), start=1)
    ]
    return "\n".join(
        [
            "CGATS.17",
            'ORIGINATOR\t"test"',
            'MEASUREMENT_SOURCE\t"MODE=Reflective"',
            f"NUMBER_OF_FIELDS\t{len(nm) + 2}",
            "BEGIN_DATA_FORMAT",
            fields,
            "END_DATA_FORMAT",
            f"NUMBER_OF_SETS\t{len(rows)}",
            "BEGIN_DATA",
            *data,
            "END_DATA",
            "",
        ]
    )


def test_two_columns(tmp_path: Path) -> None:
    text = _columns(WAVELENGTHS_NM, _curve(WAVELENGTHS_NM), head="wavelength,reflectance")
    paint = _load(tmp_path, text)
    np.testing.assert_allclose(paint.reflectance, _curve(WAVELENGTHS_NM), atol=1e-6)
    assert (paint.origin, paint.certainty) == ("measured", "measured")


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_columns_without_header_with_comments_in_falling_order(
    tmp_path: Path, separator: str
) -> None:
    text = _columns(WAVELENGTHS_NM[::-1], _curve(WAVELENGTHS_NM[::-1])).replace(",", separator)
    paint = _load(tmp_path, "# made by hand\n\n" + text)
    np.testing.assert_allclose(paint.reflectance, _curve(WAVELENGTHS_NM), atol=1e-6)


def test_a_column_or_a_row_per_sample(tmp_path: Path) -> None:
    first, second = _curve(WAVELENGTHS_NM), 1.0 - _curve(WAVELENGTHS_NM)
    columns = _columns(WAVELENGTHS_NM, first, second, head="nm,A1,A2")
    paint = _load(tmp_path, columns, 'sample = "A2"')
    np.testing.assert_allclose(paint.reflectance, second, atol=1e-6)
    head = "film,percent," + ",".join(f"{nm:.0f} nm" for nm in WAVELENGTHS_NM)
    rows = [
        f"{name},{k}," + ",".join(f"{v:.6f}" for v in curve)
        for k, (name, curve) in enumerate({"A1": first, "A2": second}.items())
    ]
    paint = _load(tmp_path, "\n".join([head, *rows]), 'sample = "A2"')
    np.testing.assert_allclose(paint.reflectance, second, atol=1e-6)


@pytest.mark.parametrize("prefix", ["SPECTRAL_NM", "SPECTRAL_NM_", "SPEC_", "NM_", "nm", "R_"])
@pytest.mark.parametrize("scale", [1.0, 100.0])
def test_cgats_by_its_field_names_and_either_scale(
    tmp_path: Path, prefix: str, scale: float
) -> None:
    nm = np.arange(380.0, 731.0, 10.0)
    rows = {"dark one": 0.2 * _curve(nm) * scale, "bone": _curve(nm) * scale}
    paint = _load(tmp_path, _cgats(nm, rows, prefix), 'sample = "bone"', file="it.txt")
    np.testing.assert_allclose(paint.reflectance, _curve(WAVELENGTHS_NM), atol=1e-5)


def test_cgats_apart_by_blanks_with_quoted_names(tmp_path: Path) -> None:
    text = _cgats(WAVELENGTHS_NM, {"bone white": _curve(WAVELENGTHS_NM)}).replace("\t", " ")
    paint = _load(tmp_path, text, file="it.txt")
    np.testing.assert_allclose(paint.reflectance, _curve(WAVELENGTHS_NM), atol=1e-5)


@pytest.mark.parametrize(
    ("nm", "tolerance"),
    [
        (np.arange(360.0, 781.0, 1.0), 1e-6),
        (np.arange(380.0, 731.0, 5.0), 1e-6),
        (np.arange(400.0, 701.0, 20.0), 1e-3),
        (np.arange(395.0, 706.0, 10.0), 1e-4),
        (np.sort(np.r_[400.0, 700.0, np.linspace(401.3, 698.7, 60)]), 1e-4),
    ],
    ids=["1 nm", "5 nm", "20 nm", "10 nm between ours", "uneven"],
)
def test_other_grids_are_brought_to_ours(tmp_path: Path, nm: Floats, tolerance: float) -> None:
    paint = _load(tmp_path, _columns(nm, _curve(nm)))
    np.testing.assert_allclose(paint.reflectance, _curve(WAVELENGTHS_NM), atol=tolerance)


def test_interpolation_never_leaves_the_range_of_the_readings(tmp_path: Path) -> None:
    nm = np.arange(400.0, 701.0, 20.0)
    step = np.where(nm < 550, 0.01, 0.99)
    paint = _load(tmp_path, _columns(nm, step))
    assert paint.reflectance.min() >= 0.01
    assert paint.reflectance.max() <= 0.99


def test_the_mirror_is_taken_off_when_it_was_measured(tmp_path: Path) -> None:
    text = _columns(WAVELENGTHS_NM, _curve(WAVELENGTHS_NM))
    included = _load(tmp_path, text)
    assert included.surface_k1 == pytest.approx(0.04, abs=0.02)
    assert included.surface_k1 < included.reflectance.min()
    assert _load(tmp_path, text, 'specular = "included"').surface_k1 == included.surface_k1
    excluded = _load(tmp_path, text, 'specular = "excluded"')
    assert excluded.surface_k1 == 0.0


def test_a_guessed_curve_is_no_measurement(tmp_path: Path) -> None:
    text = _columns(WAVELENGTHS_NM, _curve(WAVELENGTHS_NM))
    assert _load(tmp_path, text, 'origin = "guess"').certainty == "estimate"


def _said(tmp_path: Path, text: str, *lines: str, file: str = "bone.csv") -> str:
    with pytest.raises(RackFault) as caught:
        _load(tmp_path, text, *lines, file=file)
    return str(caught.value)


def test_each_bad_band_is_told_with_its_place(tmp_path: Path) -> None:
    curve = _curve(WAVELENGTHS_NM)
    curve[4], curve[9] = 1.04, 0.0
    said = _said(tmp_path, _columns(WAVELENGTHS_NM, curve))
    assert "reflectance must be above 0 and at most 1, got 1.04" in said
    assert 'rack.toml, paint[1] "bone white", bone.csv, 440 nm' in said
    assert "percent" in said
    assert "490 nm" in said


def test_percent_is_told_once(tmp_path: Path) -> None:
    said = _said(tmp_path, _columns(WAVELENGTHS_NM, 100 * _curve(WAVELENGTHS_NM)))
    assert "percent" in said
    assert said.count("where:") == 1


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", "no table"),
        ("hello\nthere\n", "no table"),
        ("400,0.5\nred,0.4\n", "no wavelength"),
        ("wavelength,reflectance\n400,0.5\n410,x\n", "must be a number"),
        ("400,0.5\n410\n", "must be a number"),
        ("400,0.5\n410,nan\n", "must be a number"),
        (_columns(np.arange(420.0, 701.0, 10.0), np.full(29, 0.5)), "400 to 700 nm are needed"),
        (_columns(np.arange(400.0, 681.0, 10.0), np.full(29, 0.5)), "400 to 700 nm are needed"),
        (_columns(np.arange(400.0, 701.0, 50.0), np.full(7, 0.5)), "no reading within 50 nm"),
        (_columns(np.r_[400.0, WAVELENGTHS_NM], np.full(32, 0.5)), "stands twice"),
        (_columns(WAVELENGTHS_NM, np.full(31, 0.5), np.full(31, 0.5)), "holds 2 samples"),
        (
            "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID\nEND_DATA_FORMAT\nBEGIN_DATA\n1\nEND_DATA",
            "no s",
        ),
        ("BEGIN_DATA_FORMAT\nNM_400\nBEGIN_DATA\n1\nEND_DATA", "not complete"),
        ("BEGIN_DATA_FORMAT\nNM_400\nEND_DATA_FORMAT\nBEGIN_DATA\n1\n", "not complete"),
        ("BEGIN_DATA_FORMAT\nNM_400\nEND_DATA_FORMAT\nBEGIN_DATA\nEND_DATA", "no data rows"),
        ("BEGIN_DATA_FORMAT\nNM_400 NM_410\nEND_DATA_FORMAT\nBEGIN_DATA\n1\nEND_DATA", "1 values"),
        ("BEGIN_DATA_FORMAT\nNM_400\nEND_DATA_FORMAT\nBEGIN_DATA\nx\nEND_DATA", "must be a number"),
    ],
)
def test_what_is_no_measurement_is_refused(tmp_path: Path, text: str, expected: str) -> None:
    said = _said(tmp_path, text)
    assert expected in said
    assert 'paint[1] "bone white", bone.csv' in said


def test_an_unknown_sample_is_told_with_the_nearest(tmp_path: Path) -> None:
    text = _cgats(WAVELENGTHS_NM, {"rust": _curve(WAVELENGTHS_NM), "sea": _curve(WAVELENGTHS_NM)})
    assert 'did you mean "rust"' in _said(tmp_path, text, 'sample = "rost"', file="it.txt")
    assert 'choose one with sample = "..."' in _said(tmp_path, text, file="it.txt")


def test_random_text_never_ends_in_anything_but_a_rack_fault(tmp_path: Path) -> None:
    rng = np.random.default_rng(28178)
    letters = [*"0123456789.,;\t\n -eE#\"'[]=nmNM_", "400,", "\nBEGIN_DATA\n", "END_DATA\n"]
    for _ in range(100):
        text = "".join(rng.choice(letters, rng.integers(1, 400)))
        assert _said(tmp_path, text)
        assert _said(tmp_path, "BEGIN_DATA_FORMAT\nNM_400\nEND_DATA_FORMAT\n" + text)
