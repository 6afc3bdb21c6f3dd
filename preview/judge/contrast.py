"""How far two tones are apart, by four measures."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.optics.cie1976_lab import lightness_from_y
from preview.optics.ciede2000 import ciede2000

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Contrast:
    """Between the tones of two areas; all >= 0.

    lightness_step : difference of L*.
    michelson : |Y1 - Y2| / (Y1 + Y2), in [0, 1].
    weber : |Y1 - Y2| over the larger of the ground's Y and the mean to which the eye adapts.
    ciede2000 : CIEDE2000.
    """

    lightness_step: float
    michelson: float
    weber: float
    ciede2000: float


@dataclass(frozen=True, eq=False)
class Contrasts:
    """The same for many pairs of tones at once, each (...,) float64."""

    lightness_step: Floats
    michelson: Floats
    weber: Floats
    ciede2000: Floats

    @classmethod
    def between(
        cls, part_y: Floats, ground_y: Floats, part_lab: Floats, ground_lab: Floats, mean_y: float
    ) -> Contrasts:
        """Contrasts of parts against their grounds.

        Parameters
        ----------
        part_y, ground_y : (...,) luminance factors in [0, 1].
        part_lab, ground_lab : (..., 3) CIELAB.
        mean_y : mean luminance factor of the whole sight.
        """
        return cls(
            np.abs(lightness_from_y(part_y) - lightness_from_y(ground_y)),
            michelson(part_y, ground_y),
            weber(part_y, ground_y, mean_y),
            ciede2000(part_lab, ground_lab),
        )


def michelson(first_y: Floats, second_y: Floats) -> Floats:
    """|Y1 - Y2| / (Y1 + Y2), in [0, 1]; 0 between two blacks."""
    total = first_y + second_y
    return np.asarray(np.abs(first_y - second_y) / np.where(total > 0.0, total, 1.0))


def weber(part_y: Floats, ground_y: Floats, mean_y: float) -> Floats:
    """|Y_part - Y_ground| / max(Y_ground, mean Y), unitless, >= 0.

    The mean keeps a dark ground from promising a contrast that an eye adapted to the whole scene
    does not see.

    Parameters
    ----------
    part_y, ground_y : (...,) luminance factors in [0, 1].
    mean_y : mean luminance factor of the whole sight, in [0, 1].
    """
    return np.asarray(np.abs(part_y - ground_y) / np.maximum(np.maximum(ground_y, mean_y), 1e-6))
