"""An observer of pictures: contrast filtered as the eye filters it, then pooled to one number.

Contrast picture -> Barten's contrast sensitivity as a linear filter -> an aperture for the fovea
-> Minkowski sum. The sum is 1 at threshold.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from preview.errors import Fault, UsageError
from preview.judge.eye.age_adrian_1989 import REFERENCE_YEARS, age_factor
from preview.judge.eye.csf_barten_1999 import contrast_sensitivity
from preview.settings import AGE

Floats = NDArray[np.float64]

GAIN = 0.3472
"""The one number taken from human thresholds: their mean over ModelFest's 43 pictures."""

POOLING = 2.4081
FOVEA_DEGREES = 0.6273
"""Exponent of the sum and standard deviation of the aperture, as Watson and Ahumada fitted them."""

FIELD_DEGREES = 10.0
"""Field of Barten's formula; a round choice, lightly tuned: 8 to 12 do about as well."""

ADAPTATION_RANGE = (0.01, 100_000.0)
"""cd/m2 for which thresholds are given; in the lowest decades rods see more than the model says."""

_AROUND_DEGREES = 1.07
_MOST_PIXELS = 40_000_000


def visibility(
    luminance: ArrayLike,
    background: ArrayLike,
    pixels_per_degree: float,
    adaptation: float,
    *,
    age: float = REFERENCE_YEARS,
) -> float:
    """How many times above threshold a picture differs from its background, by a human observer.

    1 is just seen, at the best place to look at. For any pattern of fixed shape the visibility
    is in proportion to its contrast, so contrast over visibility is the threshold contrast.

    Parameters
    ----------
    luminance : (rows, columns) in any unit, >= 0. What lies around the picture is background.
    background : the same picture without what is to be seen: a number, or (rows, columns), in
        the same unit. Contrast is taken against its own luminance or, where it is darker, against
        its mean.
    pixels_per_degree : > 0. Detail above half of it can't be in the picture; 120 holds all that
        an eye resolves.
    adaptation : cd/m2 to which the eye is adapted, in [0.01, 100000].
    age : years, in [18, 80]; raises the threshold by Adrian's factor.

    Returns
    -------
    Visibility in units of the threshold, >= 0; 0 where nothing differs.

    Raises
    ------
    UsageError : shapes that don't fit, luminances below 0 or no numbers, a black background, or
        a number out of its range; all at once.
    ValueError : luminance or background are no real numbers, such as None or complex ones.

    Notes
    -----
    Holds exactly: the same for the mirrored picture and for one turned by 90 degrees; unchanged
    when luminance and background are scaled together; in proportion to contrast.
    Leaves out: masking by texture and clutter, colour, a place unknown to the viewer.

    References
    ----------
    Barten (1999), SPIE, doi 10.1117/3.353254, as the filter; aperture and pooling of Watson and
    Ahumada (2005), "A standard model for foveal detection of spatial contrast", Journal of Vision
    5 (9): 6, doi 10.1167/5.9.6, whose 41 artificial pictures it predicts within 1 dB.

    Examples
    --------
    >>> picture = np.full((64, 64), 30.0)
    >>> picture[28:36, 28:36] = 36.0
    >>> round(visibility(picture, 30.0, 120.0, 30.0), 1)
    2.9
    """
    seen, ground = _real(luminance, "luminance"), _real(background, "background")
    _check(seen, ground, pixels_per_degree, adaptation, age)
    contrast = (seen - ground) / np.maximum(ground, ground.mean())
    return _pooled(contrast, float(pixels_per_degree), float(adaptation)) / age_factor(age)


def _real(values: ArrayLike, name: str) -> Floats:
    """Values as float64; raises ValueError where they are no real numbers."""
    found = np.asarray(values)
    if found.dtype.kind not in "biuf":
        raise ValueError(f"{name} must be real numbers, got values of type {found.dtype}")
    return found.astype(np.float64)


def filter_gain(cycles_per_degree: Floats, luminance: float) -> Floats:
    """Thresholds of response per unit of contrast, for each spatial frequency.

    Parameters
    ----------
    cycles_per_degree : (...) float64, >= 0.
    luminance : cd/m2, > 0.
    """
    return GAIN * contrast_sensitivity(cycles_per_degree, luminance, FIELD_DEGREES, FIELD_DEGREES)


def _pooled(contrast: Floats, ppd: float, luminance: float) -> float:
    """Response to a contrast picture, summed at the best place to look at."""
    from scipy import fft

    rows, columns = contrast.shape
    margin = 2 * int(np.ceil(_AROUND_DEGREES * ppd))
    shape = (fft.next_fast_len(rows + margin, True), fft.next_fast_len(columns + margin, True))
    gain, aperture = _kernels(shape, ppd, luminance)
    response = fft.irfft2(fft.rfft2(contrast, s=shape) * gain, s=shape)
    energy = np.abs(response) ** POOLING / ppd**2
    around = fft.irfft2(fft.rfft2(energy) * aperture, s=shape)[:rows, :columns]
    return float(max(around.max(), 0.0) ** (1.0 / POOLING))


@lru_cache(maxsize=4)
def _kernels(shape: tuple[int, int], ppd: float, luminance: float) -> tuple[Floats, Floats]:
    """For a padded picture: the filter, and the aperture to the power of pooling, as spectra."""
    down = np.fft.fftfreq(shape[0], 1.0 / ppd)[:, None]
    across = np.fft.rfftfreq(shape[1], 1.0 / ppd)[None, :]
    frequency = np.hypot(down, across)
    # The spectrum of exp(-r^2 b / (2 s^2)), so that looking anywhere costs one product.
    spread = FOVEA_DEGREES / np.sqrt(POOLING)
    total = 2.0 * np.pi * (spread * ppd) ** 2
    aperture = total * np.exp(-2.0 * (np.pi * spread * frequency) ** 2)
    return filter_gain(frequency, luminance), aperture


def _check(seen: Floats, ground: Floats, ppd: float, adaptation: float, age: float) -> None:
    """Raise UsageError with everything that is wrong."""
    faults: list[Fault] = []
    if seen.ndim != 2 or not seen.size:
        faults.append(Fault(f"the picture must have rows and columns, got shape {seen.shape}"))
    if ground.ndim and ground.shape != seen.shape:
        faults.append(Fault(f"background {ground.shape} and picture {seen.shape} differ in shape"))
    for name, values in (("luminance", seen), ("background", ground)):
        if not np.isfinite(values).all() or (values < 0.0).any():
            faults.append(Fault(f"{name} must be numbers from 0 up", "", "linear light, not sRGB"))
    if np.isfinite(ground).all() and ground.size and not ground.mean() > 0.0:
        faults.append(Fault("nothing has contrast on a black background", "", "give its luminance"))
    if not 0.0 < ppd < np.inf:
        faults.append(Fault(f"pixels per degree must be above 0, got {ppd:g}"))
    elif seen.size and seen.ndim == 2:
        sides = [side + 2.0 * _AROUND_DEGREES * ppd for side in seen.shape]
        if sides[0] * sides[1] > _MOST_PIXELS:
            faults.append(
                Fault(
                    f"{seen.shape} at {ppd:g} pixels per degree is too large a picture",
                    "",
                    "average it to 120 pixels per degree, in linear light",
                )
            )
    faults += eye_faults(adaptation, age)
    if faults:
        raise UsageError.of(faults)


def eye_faults(adaptation: float, age: float) -> list[Fault]:
    """What is wrong with the light to which an eye is adapted, cd/m2, and with its age, years."""
    faults = _adaptation_faults(adaptation)
    try:
        AGE.check(age)
    except UsageError as error:
        faults.extend(error.faults)
    return faults


def _adaptation_faults(luminance: float) -> list[Fault]:
    """What is wrong with a luminance in cd/m2 as that to which an eye is adapted."""
    low, high = ADAPTATION_RANGE
    if low <= luminance <= high:
        return []
    what = f"adaptation must be from {low:g} to {high:g} cd/m2, got {luminance:g}"
    return [
        Fault(what, "", "lux times reflectance over pi; a grey table under 500 lx has about 30")
    ]
