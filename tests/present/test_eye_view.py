"""Pictures as eyes have them: the optics' blur, the squint, the colours that are left."""

from __future__ import annotations

import numpy as np
import pytest

from preview.judge.eye.csf_barten_1999 import blur_arcmin, pupil_mm
from preview.judge.eyes import Eyes, read_eyes
from preview.judge.geometry import pixels_per_degree
from preview.present.eye_sheet import eye_sheet, strip_of
from preview.present.eye_view import GROUND, in_values, resolved, seen_by, squinted

PIXEL_MM, LIGHT = 0.05, 30.0


def _grating(cycles_per_degree: float, distance_m: float) -> np.ndarray:
    ppd = pixels_per_degree(PIXEL_MM, distance_m)
    wave = 0.5 + 0.3 * np.sin(2.0 * np.pi * cycles_per_degree * np.arange(600) / ppd)
    return np.broadcast_to(wave[None, :, None], (600, 600, 3)).copy()


def _contrast(picture: np.ndarray) -> float:
    middle = picture[300, 200:400, 1]
    return float((middle.max() - middle.min()) / (middle.max() + middle.min()))


@pytest.mark.parametrize("frequency", [4.0, 8.0, 16.0, 30.0])
@pytest.mark.parametrize("distance_m", [0.6, 1.5])
def test_the_optics_leave_of_a_grating_what_they_should(
    frequency: float, distance_m: float
) -> None:
    picture = _grating(frequency, distance_m)
    left = _contrast(resolved(picture, PIXEL_MM, distance_m, LIGHT)) / _contrast(picture)
    sigma = blur_arcmin(pupil_mm(LIGHT)) / 60.0
    # A Gaussian of 0.57 arc minutes: 0.89, 0.63 and 0.20 at 8, 16 and 30 cycles per degree.
    assert left == pytest.approx(np.exp(-2.0 * (np.pi * sigma * frequency) ** 2), abs=0.02)


def test_the_squint_halves_three_cycles_per_degree() -> None:
    picture = _grating(3.0, 0.6)
    left = _contrast(squinted(picture, PIXEL_MM, 0.6)) / _contrast(picture)
    assert left == pytest.approx(0.5, abs=0.02)


def test_even_pictures_stay_even() -> None:
    even = np.full((50, 60, 3), GROUND)
    np.testing.assert_allclose(resolved(even, PIXEL_MM, 2.0, LIGHT), even, atol=1e-12)


def test_values_are_grey_and_keep_luminance() -> None:
    colours = np.random.default_rng(3).uniform(0.0, 1.0, (5, 5, 3))
    grey = in_values(colours)
    assert (grey[..., 0] == grey[..., 2]).all()
    np.testing.assert_allclose(grey[..., 0], colours @ [0.2126, 0.7152, 0.0722], atol=1e-12)


def test_red_fades_to_protan_eyes() -> None:
    red = np.broadcast_to([0.5, 0.02, 0.02], (4, 4, 3))
    assert in_values(seen_by(read_eyes("protan"), red)).mean() < 0.7 * in_values(red).mean()


def test_strips_have_a_picture_per_distance() -> None:
    linear = _grating(2.0, 1.0)[:80, :60]
    strips = [strip_of(e, linear, 0.3, [0.6, 1.5], LIGHT) for e in (Eyes(), read_eyes("deutan"))]
    captions = [caption for caption, _ in strips[0].tiles]
    assert captions == [
        "close by, as they see it",
        "resolved at 0.6 m",
        "resolved at 1.5 m",
        "value",
        "squint at 0.6 m",
    ]
    sheet = eye_sheet(strips, "A grating", "a note")
    assert sheet.height > 2 * 80
    assert np.asarray(sheet.convert("L")).std() > 5
