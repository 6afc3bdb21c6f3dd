"""Mixes by plain formulas and colours by colour-science, to hold the fast way to."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import gcd
from types import ModuleType

import numpy as np

from preview.optics.spectrum import Floats
from preview.rack.paint import Paint


def mixed_by_hand(parts: Sequence[tuple[Paint, int]]) -> Floats:
    """(31,) reflectance of one recipe, band by band.

    Kubelka & Munk 1931 for a hiding layer, (1 - R)² / 2R = K/S; Duncan 1940, K and S are sums by
    share; Saunderson 1942 at the surface. As `preview.mix` cites them.
    """
    total = sum(drops for _, drops in parts)
    k1 = sum(paint.surface_k1 * drops for paint, drops in parts) / total
    k2 = sum(paint.surface_k2 * drops for paint, drops in parts) / total
    bands = []
    for band in range(31):
        absorbed = scattered = 0.0
        for paint, drops in parts:
            seen = paint.reflectance[band]
            p1, p2 = paint.surface_k1, paint.surface_k2
            inside = (seen - p1) / (1 - p1 - p2 + p2 * seen)
            absorbed += drops / total * (1 - inside) ** 2 / (2 * inside) * paint.scattering[band]
            scattered += drops / total * paint.scattering[band]
        ratio = absorbed / scattered
        inside = 1 + ratio - (ratio**2 + 2 * ratio) ** 0.5
        bands.append(k1 + (1 - k1) * (1 - k2) * inside / (1 - k2 * inside))
    return np.array(bands)


def lab_by_colour_science(colour_science: ModuleType, reflectance: Floats) -> Floats:
    """(3,) CIELAB of one (31,) reflectance under D65, 2 degrees, by ASTM E308."""
    seen, white = (
        _xyz(colour_science, tuple(float(v) for v in curve)) for curve in (reflectance, np.ones(31))
    )
    return np.asarray(
        colour_science.XYZ_to_Lab(seen / white[1], colour_science.XYZ_to_xy(white)), dtype=float
    )


@lru_cache(maxsize=4096)
def _xyz(colour_science: ModuleType, reflectance: tuple[float, ...]) -> Floats:
    """(3,) tristimulus values of a reflectance, 400-700 nm by 10 nm."""
    sd = colour_science.SpectralDistribution(
        np.array(reflectance), colour_science.SpectralShape(400, 700, 10)
    )
    cmfs = colour_science.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    lamp = colour_science.SDS_ILLUMINANTS["D65"]
    with colour_science.utilities.suppress_warnings(colour_runtime_warnings=True):
        xyz = colour_science.sd_to_XYZ(sd, cmfs, lamp, method="ASTM E308")
    return np.asarray(xyz, dtype=float)


def two_part_ratios(most: int) -> list[tuple[int, int]]:
    """Every ratio of two paints of at most so many drops, with a drop of each."""
    return [(a, b) for a in range(1, most) for b in range(1, most + 1 - a) if gcd(a, b) == 1]
