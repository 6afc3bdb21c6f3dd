"""How little contrast an eye needs: a closed form over the size of the part and the light.

The form stands in for a full observer model (Barten's contrast sensitivity as a filter, an
aperture for the fovea, pooling over the picture), to which it was fitted. `Eye` is what the
judge asks of any observer, so that the full one can take its place.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

SENSITIVITY_CAP = 45.0
"""The largest that judging uses: a long edge between two wide areas needs 1 part in 45
(from memory: the edge of ModelFest, Carney et al. 1999, each side against the mean)."""

LARGEST_ARCMIN = 60.0
LUMINANCE_RANGE = (2.0, 200.0)
"""cd/m2 over which the luminance factor was fitted; light outside is taken as its border."""


class Eye(Protocol):
    """An observer: how sensitive it is to a bar, how far it blurs, what it resolves."""

    @property
    def acuity_arcmin(self) -> float:
        """The gap just resolved, arc minutes."""
        ...

    def sensitivity(self, width: Floats, length: Floats, luminance: float) -> Floats:
        """1 / Weber threshold of a bar of `width` x `length` arc minutes at cd/m2."""
        ...

    def blur_arcmin(self, luminance: float) -> float:
        """Standard deviation of the optical blur, arc minutes, at cd/m2."""
        ...


@dataclass(frozen=True)
class ClosedFormEye:
    """The default observer.

    age_years : raises the threshold by Adrian's factor, relative to 23 years.
    acuity_arcmin : the gap just resolved; 1 arc minute is acuity 1.0 (ISO 8596).
    """

    age_years: float = 23.0
    acuity_arcmin: float = 1.0

    def sensitivity(self, width: Floats, length: Floats, luminance: float) -> Floats:
        """1 / Weber threshold of a bar, at most SENSITIVITY_CAP before age."""
        small, large = np.minimum(width, length), np.maximum(width, length)
        raw = bar_sensitivity(small, large, luminance)
        return np.minimum(raw, SENSITIVITY_CAP) / age_factor(self.age_years)

    def blur_arcmin(self, luminance: float) -> float:
        """Barten's optical blur at the natural pupil."""
        return float(np.hypot(0.5, 0.08 * pupil_mm(luminance)))


def bar_sensitivity(width: Floats, length: Floats, luminance: float) -> Floats:
    """1 / Weber threshold of a bar on a plain ground, by the closed form, uncapped.

    Parameters
    ----------
    width, length : (...) float64, arc minutes, > 0. Beyond 60 they count as 60. Below 0.25 the
        form goes on in proportion to the area, as spatial summation does.
    luminance : cd/m2 to which the eye is adapted; outside [2, 200] it counts as the border.

    Notes
    -----
    Not symmetric in width and length; `ClosedFormEye` takes the smaller side as the width.
    Leaves out: clutter, texture and gloss, which mask detail.

    References
    ----------
    Fitted, 0.1 dB rms at 30 cd/m2, to an observer of Barten's contrast sensitivity (1999, "Contrast
    sensitivity of the human eye and its effects on image quality"), with aperture and pooling of
    Watson and Ahumada (2005), "A standard model for foveal detection of spatial contrast",
    Journal of Vision 5 (9): 6.
    """
    wide, long = np.minimum(width, LARGEST_ARCMIN), np.minimum(length, LARGEST_ARCMIN)
    light = float(np.clip(luminance, *LUMINANCE_RANGE))
    summed = np.maximum(1.499 * _summation(wide) * _summation(long), 1e-9)
    at_30 = (summed**-4.792 + 74.84**-4.792) ** (-1.0 / 4.792)
    small, large = _light_factor(light, 37.0, 0.35), _light_factor(light, 23.0, 0.28)
    blend = np.clip(np.log(np.maximum(wide, 1e-9) / 3.0) / np.log(10.0 / 3.0), 0.0, 1.0)
    return np.asarray(at_30 * small ** (1.0 - blend) * large**blend)


def _summation(side: Floats) -> Floats:
    """In proportion to the side while small, then ever less."""
    return np.asarray(side * (1.0 + (side / 4.048) ** 1.774) ** (-0.658 / 1.774))


def _light_factor(luminance: float, half: float, power: float) -> float:
    """Sensitivity relative to 30 cd/m2."""
    return float(((1.0 + half / 30.0) / (1.0 + half / luminance)) ** power)


def pupil_mm(luminance: float) -> float:
    """The natural pupil's diameter for a field of 40 degrees, mm.

    Parameters
    ----------
    luminance : cd/m2, > 0.

    References
    ----------
    Barten (1999), as for the sensitivity: 5 - 3 tanh(0.4 log(L X^2 / 40^2)), a field of X degrees.
    """
    return float(5.0 - 3.0 * np.tanh(0.4 * np.log10(luminance)))


def age_factor(age_years: float) -> float:
    """How much more contrast eyes of that age need than at 23.

    The two branches of the source jump down by 1 % at 64. Here the second takes over where it
    catches up with the first (64.3 years), so the factor is continuous and never falls. Ages
    outside [23, 75] count as the border, since the source stops there.

    Parameters
    ----------
    age_years : years.

    References
    ----------
    Adrian (1989), "Visibility of targets: model for calculation", Lighting Research and
    Technology 21: 181.
    """
    age = float(np.clip(age_years, 23.0, 75.0))
    first = (age - 19.0) ** 2 / 2160.0 + 0.99
    second = (age - 56.6) ** 2 / 116.3 + 1.43
    at_23 = 4.0**2 / 2160.0 + 0.99
    return (max(first, second) if age > 64.0 else first) / at_23
