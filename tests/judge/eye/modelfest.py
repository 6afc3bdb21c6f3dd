"""ModelFest's artificial pictures, drawn from their published definitions."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

PIXELS, PPD, LUMINANCE = 256, 120.0, 30.0
MEANS = Path(__file__).resolve().parents[2] / "reference" / "modelfest_carney_1999.csv"

_PLACE = (np.arange(PIXELS) - PIXELS / 2) / PPD
X, Y = np.meshgrid(_PLACE, _PLACE)
_ROW = np.repeat(np.arange(PIXELS)[:, None] - PIXELS // 2, PIXELS, axis=1)


def _blob(down: float, across: float | None = None, x: float = 0.0) -> Floats:
    """A Gaussian of standard deviations in degrees."""
    wide = down if across is None else across
    return np.exp(-0.5 * ((Y / down) ** 2 + ((X - x) / wide) ** 2))


def _wave(frequency: float, turn_deg: float = 0.0) -> Floats:
    """A cosine with horizontal bars, turned."""
    angle = np.radians(turn_deg)
    return np.cos(2.0 * np.pi * frequency * (Y * np.cos(angle) + X * np.sin(angle)))


def thresholds() -> dict[int, float]:
    """Picture -> mean -log10 of people's threshold contrast."""
    rows = [line for line in MEANS.read_text().splitlines() if not line.startswith("#")]
    return {int(row[0]): float(row[1]) for row in list(csv.reader(rows))[1:]}


def pictures() -> dict[int, Floats]:
    """Number -> contrast picture; all but 35 and 43."""
    root = np.sqrt(2.0)
    waves = [1.12, 2, 2.83, 4, 5.66, 8, 11.3, 16, 22.6, 30]
    drawn = {k: _wave(f) * _blob(0.5) for k, f in enumerate(waves, 1)}
    fixed = [(2, 0.28), (4, 0.14), (8, 0.07), (16, 0.035)]
    drawn |= {k: _wave(f) * _blob(s) for k, (f, s) in enumerate(fixed, 11)}
    long = [(4, 0.28), (8, 0.14), (16, 0.07)]
    drawn |= {k: _wave(f) * _blob(s, 0.5) for k, (f, s) in enumerate(long, 15)}
    aspects = [(0.14, 0.28), (0.14, 0.5), (0.28, 0.14), (0.5, 0.14)]
    drawn |= {k: _wave(4) * _blob(*s) for k, s in enumerate(aspects, 18)}
    pairs = [(2, 2 * root), (2, 4), (4, 4 * root), (4, 8)]
    drawn |= {k: 0.5 * (_wave(a) + _wave(b)) * _blob(0.5) for k, (a, b) in enumerate(pairs, 22)}
    drawn |= {k: _blob(s / 60.0) for k, s in enumerate([30, 8.43, 2.106, 1.05], 26)}
    drawn[30] = np.sign(Y) * _blob(0.5)
    drawn[31] = (_ROW == 0) * _blob(0.5)
    drawn[32] = ((_ROW == -1).astype(float) - (_ROW == 1)) * _blob(0.5)
    for k, signs in ((33, (1, 1, 1, 1, 1)), (34, (1, -1, 1, -1, 1))):
        row = [sign * _blob(0.07, x=0.35 * n) for n, sign in zip(range(-2, 3), signs, strict=True)]
        drawn[k] = _wave(8) * np.sum(row, axis=0)
    drawn[36] = _wave(4, 45) * _blob(0.14)
    drawn[37] = _wave(4, 90) * _blob(0.14)
    drawn[38] = 0.5 * (_wave(4) + _wave(4, 90)) * _blob(0.14)
    drawn[39] = 0.5 * (_wave(4, 45) + _wave(4)) * _blob(0.14)
    drawn[40] = (np.hypot(X, Y) <= 0.125).astype(float)
    drawn[41] = _ring_wave() * _blob(0.5)
    checks = np.cos(2 * np.pi * 4 / root * X) * np.cos(2 * np.pi * 4 / root * Y)
    drawn[42] = np.sign(checks) * _blob(0.5)
    return drawn


def _ring_wave() -> Floats:
    """A Bessel function of the radius at 4 cycles per degree."""
    from scipy.special import j0

    return np.asarray(j0(2.0 * np.pi * 4.0 * np.hypot(X, Y)))
