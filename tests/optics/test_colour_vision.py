"""Colour vision deficiencies against colour-science and published matrices."""

from __future__ import annotations

from types import ModuleType

import numpy as np
import pytest

from preview.optics.colour_vision import linear_seen_with, machado_matrix
from preview.optics.srgb_iec61966 import linear_from_encoded, xyz_from_linear
from preview.settings import DEFICIENCIES

NAMES = {"protan": "Protanomaly", "deutan": "Deuteranomaly"}

# Tritanope by Brettel et al. (1997), linear sRGB, worked by hand from the pre-computed matrices.
TRITAN = [
    ((1.0, 0.0, 0.0), (1.01354, -0.01181, 0.07707)),
    ((0.0, 1.0, 0.0), (0.19999, 0.82565, 1.13825)),
    ((0.0, 0.0, 1.0), (-0.13336, 0.11626, 0.24098)),
]

# Luminance of sRGB (.70, .15, .12) and (.30, .42, .12) to eyes of each kind; worked apart from
# this code with Machado's matrices.
REDDER, GREENER = (0.70, 0.15, 0.12), (0.30, 0.42, 0.12)
LUMINANCE = {None: (0.1102, 0.1219), "protan": (0.0678, 0.1250), "deutan": (0.1382, 0.1193)}


@pytest.mark.parametrize("kind", sorted(NAMES))
@pytest.mark.parametrize("severity", [0.0, 0.1, 0.5, 0.9, 1.0])
def test_machado_agrees_with_colour_science(
    colour_science: ModuleType, kind: str, severity: float
) -> None:
    theirs = colour_science.matrix_cvd_Machado2009(NAMES[kind], severity)
    np.testing.assert_allclose(machado_matrix(kind, severity), theirs, atol=2e-6)


def test_between_tenths_the_matrices_are_interpolated() -> None:
    for low in np.arange(0.0, 1.0, 0.1):
        ends = machado_matrix("deutan", low), machado_matrix("deutan", low + 0.1)
        middle = machado_matrix("deutan", low + 0.05)
        np.testing.assert_allclose(middle, 0.5 * (ends[0] + ends[1]), atol=1e-9)


def test_machado_as_published() -> None:
    first = {"protan": [0.152286, 1.052583, -0.204868], "deutan": [0.367322, 0.860646, -0.227968]}
    for kind, row in first.items():
        np.testing.assert_allclose(machado_matrix(kind, 1.0)[0], row, atol=1e-6)
    np.testing.assert_allclose(
        machado_matrix("protan", 0.5)[0], [0.458064, 0.679578, -0.137642], atol=1e-6
    )


@pytest.mark.parametrize(("colour", "expected"), TRITAN)
def test_tritan(colour: tuple[float, ...], expected: tuple[float, ...]) -> None:
    np.testing.assert_allclose(linear_seen_with(colour, "tritan"), expected, atol=1e-9)


@pytest.mark.parametrize("kind", DEFICIENCIES)
def test_greys_stay_and_severity_0_changes_nothing(kind: str) -> None:
    greys = np.linspace(0.0, 1.0, 7)[:, None] * np.ones(3)
    np.testing.assert_allclose(linear_seen_with(greys, kind), greys, atol=3e-5)
    colours = np.random.default_rng(4).uniform(0.0, 1.0, (5, 6, 3))
    np.testing.assert_allclose(linear_seen_with(colours, kind, 0.0), colours, atol=1e-12)
    half, full = (linear_seen_with(colours, kind, s) for s in (0.5, 1.0))
    assert np.abs(half - colours).mean() < np.abs(full - colours).mean()


@pytest.mark.parametrize("kind", list(LUMINANCE))
def test_luminance_is_taken_anew(kind: str | None) -> None:
    linear = linear_from_encoded([REDDER, GREENER])
    seen = linear if kind is None else linear_seen_with(linear, kind)
    np.testing.assert_allclose(xyz_from_linear(seen)[:, 1], LUMINANCE[kind], atol=1e-4)


def test_tritan_is_continuous_across_its_plane() -> None:
    line = np.linspace([0.1, 0.9, 0.2], [0.9, 0.1, 0.6], 2001)
    seen = linear_seen_with(line, "tritan")
    assert np.abs(np.diff(seen, axis=0)).max() < 2e-3
