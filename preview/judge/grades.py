"""From contrast, size and light to a grade; the worst of three tests decides."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from preview.judge.contrast import weber
from preview.judge.eye.closed_form import Eye
from preview.judge.hue import Hues, told_by_hue
from preview.optics.cie1976_lab import lightness_from_y
from preview.settings import GRADES

Floats = NDArray[np.float64]


class Grade(IntEnum):
    """How well a boundary reads."""

    LOST = 0
    TRACE = 1
    VISIBLE = 2
    READABLE = 3
    STRONG = 4

    @property
    def word(self) -> str:
        """In lower case, as reports and the command line have it."""
        return GRADES[self]


@dataclass(frozen=True)
class Demand:
    """What a grade asks for.

    visibility : contrast over threshold.
    size : width over the gap that the eye just resolves.
    step : difference of L* that is left after the eye's blur.
    """

    visibility: float
    size: float
    step: float


DEMANDS = {
    Grade.TRACE: Demand(1.0, 0.0, 0.0),
    Grade.VISIBLE: Demand(3.0, 1.0, 5.0),
    Grade.READABLE: Demand(8.0, 2.0, 10.0),
    Grade.STRONG: Demand(10.0, 3.0, 20.0),
}
"""Cut-offs are a synthesis, from memory where no source is named. Trace: contrast at threshold.
Visible: a reserve of 3 to 1, as spot reading needs; 1 arc minute is acuity 1.0 (ISO 8596).
Readable: visibility level 8 of lighting practice; one Munsell step is about 10 L*. Strong: below
10 times threshold letters slow the reader (Whittaker and Lovie-Kitchin 1993, from memory)."""

STRONG_RATIO = 3.0
"""A luminance ratio that counts as a strong step too (WCAG 2.2, success criterion 1.4.11)."""

_FLARE = 0.05


@dataclass(frozen=True, eq=False)
class Scores:
    """The three tests, each (...,) float64, for parts on their grounds.

    visibility : contrast over threshold; size : width over acuity; step : L* after blur;
    ratio : luminance ratio after blur, (lighter + 0.05) / (darker + 0.05).
    """

    visibility: Floats
    size: Floats
    step: Floats
    ratio: Floats


def score_parts(
    part_y: Floats,
    ground_y: Floats,
    width_arcmin: Floats,
    length_arcmin: Floats,
    mean_y: float,
    luminance: float,
    eye: Eye,
) -> Scores:
    """Test parts of some size against their grounds.

    Parameters
    ----------
    part_y, ground_y : (...,) luminance factors in [0, 1]; the part is the thinner area.
    width_arcmin, length_arcmin : (...,) of the part, > 0.
    mean_y : mean luminance factor of the whole sight.
    luminance : cd/m2 to which the eye is adapted.

    Notes
    -----
    Blur takes a bar's middle towards its ground by erf(w / (2 sqrt 2 sigma)).
    """
    sensitivity = eye.sensitivity(width_arcmin, length_arcmin, luminance)
    kept = share_after_blur(width_arcmin, eye.blur_arcmin(luminance))
    after = ground_y + (part_y - ground_y) * kept
    return Scores(
        visibility=weber(part_y, ground_y, mean_y) * sensitivity,
        size=width_arcmin / eye.acuity_arcmin,
        step=np.abs(lightness_from_y(after) - lightness_from_y(ground_y)),
        ratio=(np.maximum(after, ground_y) + _FLARE) / (np.minimum(after, ground_y) + _FLARE),
    )


def share_after_blur(width_arcmin: Floats, sigma_arcmin: float) -> Floats:
    """How much of a bar's contrast is left in its middle after a Gaussian blur, in [0, 1]."""
    from scipy.special import erf

    return np.asarray(erf(width_arcmin / (2.0 * np.sqrt(2.0) * sigma_arcmin)))


def grades_of(scores: Scores) -> NDArray[np.int32]:
    """The `Grade` of each: the highest whose every demand is met, and those below it too."""
    grade = np.zeros(np.shape(scores.visibility), np.int32)
    met = np.ones(grade.shape, np.bool_)
    for level, demand in DEMANDS.items():
        step_met = scores.step >= demand.step
        if level is Grade.STRONG:
            step_met |= scores.ratio >= STRONG_RATIO
        met &= (scores.visibility >= demand.visibility) & (scores.size >= demand.size) & step_met
        grade[met] = level
    return grade


def lifted_by_hue(grade: NDArray[np.int32], hues: Hues, size: Floats) -> NDArray[np.int32]:
    """Grades by lightness, raised where hue alone tells areas apart: to visible at most.

    Half of the difference that tells map colours apart makes a trace. Our convention: hue leaves
    an area its place, but not its shape, and it goes in the squint and for many eyes.
    """
    raised = np.where(told_by_hue(hues, size, 0.5), np.maximum(grade, Grade.TRACE), grade)
    raised = np.where(told_by_hue(hues, size), np.maximum(raised, Grade.VISIBLE), raised)
    return np.asarray(raised, np.int32)


def is_accent(visibility: float, size: float) -> bool:
    """Whether a part is surely seen, yet too thin for its shape to be read."""
    demand = DEMANDS[Grade.READABLE]
    return visibility >= demand.visibility and size < demand.size
