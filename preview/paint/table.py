"""A scheme as a table: area and tone in, colour out. All that a new scheme costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.optics.appearance import (
    lab_from_reflectance,
    linear_srgb_from_reflectance,
    xyz_from_reflectance,
)
from preview.optics.spectrum import Floats
from preview.rack.paint import Finish
from preview.ramp.levels import ramp_reflectance, step_position
from preview.ramp.ramp import Ramp

LEVELS = 256


@dataclass(frozen=True, eq=False)
class PaintTable:
    """Colours of every area at every tone.

    linear : (areas, levels, 3) float32, linear sRGB under the lamp, paper white = 1.
    luminance : (areas, levels) float32, CIE Y in [0, 1] under D65.
    lab : (areas, levels, 3) float32, CIELAB D65/2°.
    finish : one per area.
    """

    linear: NDArray[np.float32]
    luminance: NDArray[np.float32]
    lab: NDArray[np.float32]
    finish: tuple[Finish, ...]


def paint_table(
    ramp_of_area: Sequence[Ramp | None], primer: Floats, illuminant: str = "D65"
) -> PaintTable:
    """The table of a scheme; areas without a ramp show the bare primer.

    Parameters
    ----------
    ramp_of_area : one ramp, or None, per area of the sculpt.
    primer : (31,) reflectance of the primer, unitless in (0, 1].
    illuminant : the lamp over the table, a name that preview.optics.appearance knows.
    """
    spectra = np.empty((len(ramp_of_area), LEVELS, len(primer)))
    done: dict[int, Floats] = {}
    for area, ramp in enumerate(ramp_of_area):
        if ramp is None:
            spectra[area] = primer
            continue
        if id(ramp) not in done:
            done[id(ramp)] = ramp_reflectance(ramp, LEVELS, primer)
        spectra[area] = done[id(ramp)]
    return PaintTable(
        linear=np.asarray(linear_srgb_from_reflectance(spectra, illuminant), dtype=np.float32),
        luminance=np.asarray(xyz_from_reflectance(spectra)[..., 1], dtype=np.float32),
        lab=np.asarray(lab_from_reflectance(spectra), dtype=np.float32),
        finish=tuple("matt" if ramp is None else ramp.finish for ramp in ramp_of_area),
    )


def colour_travel(several: Sequence[Sequence[Ramp | None]]) -> NDArray[np.float32]:
    """How far each area's colour has moved along its ramp up to each level, counted in steps.

    Parameters
    ----------
    several : for each scheme one ramp, or None, per area.

    Returns
    -------
    travel : (areas, levels) float32, never falling along a row; of several schemes the one that
        changes most from a level to the next counts.
    """
    moves = np.zeros((len(several[0]), LEVELS))
    for ramps in several:
        for area, ramp in enumerate(ramps):
            if ramp is not None:
                move = np.diff(step_position(ramp, LEVELS), prepend=0.0)
                moves[area] = np.maximum(moves[area], move)
    return np.cumsum(moves, axis=1).astype(np.float32)


def level_of_tone(tone: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Tone in [0, 1] to the nearest row of the table."""
    return np.asarray(np.clip(tone, 0.0, 1.0) * (LEVELS - 1) + 0.5, dtype=np.uint8)
