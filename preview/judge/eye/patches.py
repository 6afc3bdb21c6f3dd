"""What contrast a disc or a bar needs to be seen, by the observer of pictures."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from preview.errors import Fault, UsageError
from preview.judge.eye.age_adrian_1989 import REFERENCE_YEARS, age_factor
from preview.judge.eye.observer import (
    FOVEA_DEGREES,
    POOLING,
    eye_faults,
    filter_gain,
)

Floats = NDArray[np.float64]
Shape = Literal["disc", "bar"]

SMALLEST_ARCMIN, LARGEST_ARCMIN = 1e-3, 60.0
"""Beyond a degree the middle of the sight is filled; larger counts as this."""

_PIXELS, _PPD = 512, 120.0
# Up to the first, bars and discs gain with every bit of size; beyond it they level off.
_NODES = (20.0, 25.0, 30.0, 36.0, 43.0, 50.0, 60.0)


def threshold_contrast(
    width_arcmin: float,
    length_arcmin: float,
    adaptation_cd_m2: float,
    shape: Shape = "bar",
    *,
    age: float = REFERENCE_YEARS,
) -> float:
    """The Weber contrast at which a bar or a disc on a plain ground is just seen.

    Parameters
    ----------
    width_arcmin, length_arcmin : arc minutes, > 0; a disc's diameter is its width, and its length
        is not looked at. Above 60 they count as 60.
    adaptation_cd_m2 : luminance of the ground, cd/m2, in [0.01, 100000].
    shape : "bar", with sharp ends, or "disc".
    age : years, in [18, 80].

    Returns
    -------
    |L - L_ground| / L_ground at threshold, > 0; above 1 no darker mark is ever seen.

    Raises
    ------
    UsageError : an unknown shape, or a number out of its range; all at once.

    Notes
    -----
    Holds exactly: never rises as the mark grows or as the light does; width and length may be
    swapped; a mark larger than the fovea needs no more than its best part does.
    Leaves out: as `visibility`.

    References
    ----------
    As `visibility`, the mark's spectrum in place of a picture's.

    Examples
    --------
    >>> round(threshold_contrast(2.0, 2.0, 30.0, "disc"), 3)
    0.245
    """
    _check(width_arcmin, length_arcmin, adaptation_cd_m2, shape, age)
    width, length = float(width_arcmin), float(length_arcmin)
    if shape == "disc":
        length = width
    small, large = sorted((min(width, LARGEST_ARCMIN), min(length, LARGEST_ARCMIN)))
    return age_factor(age) / _levelled(small, large, float(adaptation_cd_m2), shape)


def patch_sensitivity(width: float, length: float, luminance: float, shape: Shape) -> float:
    """1 / Weber threshold of a mark looked at in its middle, exactly as the observer has it.

    Parameters
    ----------
    width, length : arc minutes, in (0, 60]; a disc's are both its diameter.
    luminance : cd/m2, > 0.
    """
    gain, bent = _observer(luminance)
    response = np.fft.irfft2(_spectrum(width / 60.0, length / 60.0, shape) * gain)
    return float(np.sum((np.abs(response) * bent) ** POOLING) ** (1.0 / POOLING))


def _levelled(small: float, large: float, luminance: float, shape: Shape) -> float:
    """Sensitivity that never falls with size: an eye may look at the best part of a mark.

    Between sizes from 20 arc minutes on it goes straight in the logarithm of size.
    """
    if shape == "disc":
        small = large
    if large <= _NODES[0]:
        return patch_sensitivity(small, large, luminance, shape)
    if shape == "disc":
        return _between(large, _disc_nodes(luminance))
    if small <= _NODES[0]:
        row = [patch_sensitivity(small, node, luminance, shape) for node in _needed(large)]
        return _between(large, np.maximum.accumulate(row))
    table = _bar_nodes(luminance)
    return _between(small, np.array([_between(large, row) for row in table]))


def _needed(size: float) -> tuple[float, ...]:
    """The nodes up to the first that is not smaller than a size."""
    return next(_NODES[: k + 2] for k, (_, high) in enumerate(pairwise(_NODES)) if size <= high)


def _between(size: float, at_nodes: Floats) -> float:
    """Interpolate values at the first nodes."""
    return float(np.interp(np.log(size), np.log(_NODES[: len(at_nodes)]), at_nodes))


@lru_cache(maxsize=8)
def _disc_nodes(luminance: float) -> Floats:
    """Sensitivity to discs at the nodes, never falling."""
    found = [patch_sensitivity(node, node, luminance, "disc") for node in _NODES]
    return np.asarray(np.maximum.accumulate(found))


@lru_cache(maxsize=8)
def _bar_nodes(luminance: float) -> Floats:
    """(nodes, nodes): sensitivity to bars, never falling along either side."""
    count = len(_NODES)
    found = np.zeros((count, count))
    for i in range(count):
        for j in range(i, count):
            one = patch_sensitivity(_NODES[i], _NODES[j], luminance, "bar")
            found[i, j] = found[j, i] = one
    return np.asarray(np.maximum.accumulate(np.maximum.accumulate(found, axis=0), axis=1))


@lru_cache(maxsize=8)
def _observer(luminance: float) -> tuple[Floats, Floats]:
    """The filter over frequencies, and the aperture over a field, scaled for the sum."""
    down, across = _frequencies()
    gain = np.asarray(filter_gain(np.hypot(down, across), luminance) * _PPD**2, np.float64)
    place = np.asarray(np.fft.fftfreq(_PIXELS, 1.0 / _PIXELS) / _PPD, np.float64)
    squared = place[:, None] ** 2 + place[None, :] ** 2
    aperture = np.exp(-squared / (2.0 * FOVEA_DEGREES**2))
    return gain, np.asarray(aperture * _PPD ** (-2.0 / POOLING), np.float64)


def _frequencies() -> tuple[Floats, Floats]:
    """Cycles per degree down and across, ready to broadcast."""
    down, across = np.fft.fftfreq(_PIXELS, 1.0 / _PPD), np.fft.rfftfreq(_PIXELS, 1.0 / _PPD)
    return np.asarray(down[:, None], np.float64), np.asarray(across[None, :], np.float64)


def _spectrum(width: float, length: float, shape: Shape) -> Floats:
    """The exact spectrum of a mark of contrast 1, sides in degrees."""
    down, across = _frequencies()
    if shape == "bar":
        return np.asarray(
            width * length * np.sinc(width * across) * np.sinc(length * down), np.float64
        )
    from scipy.special import j1

    reach = np.pi * width * np.hypot(down, across)
    safe = np.where(reach > 0.0, reach, 1.0)
    return np.asarray(0.25 * np.pi * width**2 * np.where(reach > 0.0, 2.0 * j1(safe) / safe, 1.0))


def _check(width: float, length: float, luminance: float, shape: str, age: float) -> None:
    """Raise UsageError with everything that is wrong."""
    faults: list[Fault] = []
    sizes = (("width", width),) if shape == "disc" else (("width", width), ("length", length))
    for name, size in sizes:
        if not SMALLEST_ARCMIN <= size < np.inf:
            what = f"{name} must be at least {SMALLEST_ARCMIN:g} arc minutes, got {size:g}"
            faults.append(Fault(what, "", "1 mm at 1 m is 3.44 arc minutes"))
    if shape not in ("disc", "bar"):
        faults.append(Fault(f'unknown shape "{shape}"', "", "valid: disc, bar"))
    faults += eye_faults(luminance, age)
    if faults:
        raise UsageError.of(faults)
