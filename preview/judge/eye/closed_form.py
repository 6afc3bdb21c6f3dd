"""The observer of bars as a closed form, quick enough to ask about every stretch of border.

`Eye` is what the judge asks of any observer, so that another can take its place.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from preview.judge.eye.age_adrian_1989 import REFERENCE_YEARS, age_factor
from preview.judge.eye.csf_barten_1999 import blur_arcmin, pupil_mm
from preview.settings import AGE

Floats = NDArray[np.float64]

SENSITIVITY_CAP = 45.0
"""The largest that judging uses: a long edge between two wide areas needs 1 part in 45. From
ModelFest's edge, of sensitivity 86 to either side against the mean (Watson and Ahumada 2005,
supplement, picture 30)."""

LARGEST_ARCMIN = 60.0
LUMINANCE_RANGE = (0.3, 300.0)
"""cd/m2 over which the form was fitted; light outside is taken as its border."""

# ln of the gain, of the size at which summation fades (arc minutes) and of the ceiling, each as a
# parabola over log10 of luminance / 30; then the three exponents. Fitted to `patch_sensitivity`
# of bars from 0.25 to 60 arc minutes, never to people.
_GAIN = (0.3925, 0.5838, -0.1586)
_FADE = (1.4400, -0.2338, 0.0256)
_CEILING = (4.3226, 0.0988, -0.0370)
_LOST, _BEND, _CORNER = 0.6644, 1.7071, 4.5887


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

    age_years : raises the threshold by Adrian's factor, relative to 23 years; in [18, 80].
    acuity_arcmin : the gap just resolved; 1 arc minute is acuity 1.0 (ISO 8596).

    Raises
    ------
    UsageError : the age is out of its range.
    """

    age_years: float = REFERENCE_YEARS
    acuity_arcmin: float = 1.0

    def __post_init__(self) -> None:
        AGE.check(self.age_years)

    def sensitivity(self, width: Floats, length: Floats, luminance: float) -> Floats:
        """1 / Weber threshold of a bar, at most SENSITIVITY_CAP before age."""
        raw = bar_sensitivity(width, length, luminance)
        return np.minimum(raw, SENSITIVITY_CAP) / age_factor(self.age_years)

    def blur_arcmin(self, luminance: float) -> float:
        """Barten's optical blur at the natural pupil."""
        return blur_arcmin(pupil_mm(luminance))


def bar_sensitivity(width: Floats, length: Floats, luminance: float) -> Floats:
    """1 / Weber threshold of a bar on a plain ground, by the closed form, uncapped.

    Parameters
    ----------
    width, length : (...) float64, arc minutes, > 0. Beyond 60 they count as 60. Below 0.25 the
        form goes on in proportion to the area, as spatial summation does.
    luminance : cd/m2 to which the eye is adapted; outside [0.3, 300] it counts as the border.

    Notes
    -----
    Holds exactly: never falls as a side grows or as the light does; width and length may be
    swapped. Within 0.25 dB rms and 0.7 dB at most of `patch_sensitivity` over its range.
    Leaves out: clutter, texture and gloss, which mask detail.
    """
    light = float(np.log10(np.clip(luminance, *LUMINANCE_RANGE) / 30.0))
    gain, fade, ceiling = (_at(light, terms) for terms in (_GAIN, _FADE, _CEILING))
    wide, long = np.minimum(width, LARGEST_ARCMIN), np.minimum(length, LARGEST_ARCMIN)
    summed = np.maximum(gain * (_summation(wide, fade) * _summation(long, fade)), 1e-9)
    return np.asarray((summed**-_CORNER + ceiling**-_CORNER) ** (-1.0 / _CORNER))


def _at(light: float, terms: tuple[float, float, float]) -> float:
    """A parameter in some light."""
    return float(np.exp(terms[0] + terms[1] * light + terms[2] * light**2))


def _summation(side: Floats, fade: float) -> Floats:
    """In proportion to the side while small, then ever less."""
    return np.asarray(side * (1.0 + (side / fade) ** _BEND) ** (-_LOST / _BEND))
