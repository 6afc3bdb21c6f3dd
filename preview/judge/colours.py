"""The colours that a scheme gives to a sculpt, as the judge needs them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.judge.eyes import Eyes
from preview.optics.appearance import linear_srgb_from_reflectance
from preview.optics.cie1976_lab import lab_from_xyz
from preview.optics.srgb_iec61966 import SRGB_WHITE, xyz_from_linear
from preview.paint.painted import Painted
from preview.paint.table import LEVELS, PaintTable, level_of_tone
from preview.ramp.levels import step_reflectance


@dataclass(frozen=True, eq=False)
class Colours:
    """Paint alone, without lamp or gloss.

    luminance : (rows,) luminance factor Y in [0, 1], linear.
    lab : (rows, 3) CIELAB under the same light.
    midtone_lab : (areas, 3) CIELAB of each area's mid-tone.
    row : (faces,) int, which row each face shows; left out when there is a row per face.
    area : (rows,) int, the area that each row is for; left out, the faces that meet tell it.
    worn : the ramp of each area, None for bare primer; left out, each area moves on its own.

    Raises
    ------
    ValueError : shapes that do not fit together, or luminances that are no share of light.
    """

    luminance: NDArray[np.floating]
    lab: NDArray[np.floating]
    midtone_lab: NDArray[np.floating]
    row: NDArray[np.integer] | None = None
    area: NDArray[np.integer] | None = None
    worn: tuple[str | None, ...] = ()

    def __post_init__(self) -> None:
        if self.lab.shape != (len(self.luminance), 3) or self.midtone_lab.shape[1:] != (3,):
            raise ValueError(
                f"{self.luminance.shape} luminances do not fit colours of shape "
                f"{self.lab.shape} and mid-tones of shape {self.midtone_lab.shape}"
            )
        low, high = self.luminance.min(initial=0.0), self.luminance.max(initial=0.0)
        if not (low >= 0.0 and high <= 1.01):
            raise ValueError(f"luminance factors lie in [0, 1], got {low:g} to {high:g}")


def row_of_face(painted: Painted) -> NDArray[np.int32]:
    """(faces,): the row of the paint table that each face shows; the same for every scheme."""
    return painted.sculpt.area * np.int32(LEVELS) + level_of_tone(painted.tone)


def colours_of(
    painted: Painted,
    row: NDArray[np.integer],
    eyes: Eyes | None = None,
    illuminant: str = "D65",
) -> Colours:
    """What eyes see of a painted sculpt.

    Parameters
    ----------
    row : (faces,), from `row_of_face` of this or another scheme on the same sculpt and light.
    eyes : normal when left out.
    illuminant : the lamp under which the painted sculpt's table was made.

    Notes
    -----
    Under daylight and to normal eyes Y and CIELAB are those of the spectra. Otherwise they are
    of the colour that shows the same on a display to an eye adapted to the lamp (CAT16), as the
    eyes see it, so that luminance is taken anew.
    """
    who = eyes or Eyes()
    worn = tuple(None if ramp is None else ramp.name for ramp in painted.ramp_of_area)
    area = np.repeat(np.arange(len(worn)), LEVELS)
    midtone_lab = (
        painted.midtone_lab()
        if _as_spectra(who, illuminant)
        else _seen(_midtone_linear(painted, illuminant), who)[1]
    )
    return Colours(*seen_of(painted.table, who, illuminant), midtone_lab, row, area, worn)


def seen_of(
    table: PaintTable, eyes: Eyes, illuminant: str
) -> tuple[NDArray[np.floating], NDArray[np.floating]]:
    """(rows,) Y in [0, 1] and (rows, 3) CIELAB that eyes see of a table made under a lamp."""
    if _as_spectra(eyes, illuminant):
        return table.luminance.reshape(-1), table.lab.reshape(-1, 3)
    return _seen(table.linear.reshape(-1, 3), eyes)


def _as_spectra(eyes: Eyes, illuminant: str) -> bool:
    """Whether eyes see the colours of the spectra as they are."""
    return eyes.deficiency is None and illuminant == "D65"


def _seen(
    linear: NDArray[np.floating], eyes: Eyes
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Y in [0, 1] and CIELAB of linear sRGB as eyes see it."""
    xyz = np.maximum(xyz_from_linear(eyes.see(linear)), 0.0)
    return np.minimum(xyz[:, 1], 1.0), lab_from_xyz(xyz, SRGB_WHITE)


def _midtone_linear(painted: Painted, illuminant: str) -> NDArray[np.float64]:
    """(areas, 3): linear sRGB of each area's mid-tone, or of the bare primer."""
    primer = painted.scheme.primer.reflectance
    looks = [
        primer if ramp is None else step_reflectance(ramp, primer)[ramp.steps.index(ramp.midtone)]
        for ramp in painted.ramp_of_area
    ]
    return linear_srgb_from_reflectance(np.stack(looks), illuminant)
