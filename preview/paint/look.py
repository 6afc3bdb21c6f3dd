"""One look at a sculpt from one view: all that a picture needs but the scheme."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.paint.lamp import Lamp, Lit, light_samples, under_lamp
from preview.paint.picture import Picture, gather_picture
from preview.paint.surface import Surface
from preview.paint.table import LEVELS, PaintTable
from preview.render.seen import Seen
from preview.shape.compiled import compiled
from preview.shape.rays import RayScene


@dataclass(frozen=True, eq=False)
class Look:
    """Samples of one view with their row in any scheme's table, and the light on them.

    row : (samples,) int32, area times levels plus level.
    area : (samples,) int32.
    lit : the lamp's light, or None when only the paint is wanted.
    """

    seen: Seen
    row: NDArray[np.int32]
    area: NDArray[np.int32]
    lit: Lit | None


def look_at(
    seen: Seen,
    area_of_face: NDArray[np.int32],
    corner_tone: NDArray[np.float32],
    surface: Surface | None,
    scene: Callable[[], RayScene],
    lamp: Lamp | None,
    shaded: NDArray[np.bool_] | None = None,
) -> Look:
    """Interpolate the tone inside each face and find the table's row of every sample.

    Parameters
    ----------
    corner_tone : (faces, 3) float32 in [0, 1].
    surface : for the lamp; None with no lamp.
    scene, shaded : as for `light_samples`.
    lamp : None for the paint alone.
    """
    area, row = np.empty(len(seen.face), np.int32), np.empty(len(seen.face), np.int32)
    _rows(seen.face, seen.bary, area_of_face, corner_tone, LEVELS, area, row)
    lit = None
    if lamp is not None and surface is not None:
        lit = light_samples(seen, surface, scene, lamp, shaded)
    return Look(seen, row, area, lit)


@compiled
def _rows(
    face: NDArray[np.int32],
    bary: NDArray[np.float32],
    area_of_face: NDArray[np.int32],
    corner_tone: NDArray[np.float32],
    levels: int,
    area: NDArray[np.int32],
    row: NDArray[np.int32],
) -> None:
    """Fill in the area of each sample, and the table's row, as `level_of_tone` finds it."""
    for i in range(len(face)):
        f = np.uint32(face[i])
        tone = corner_tone[f, 0]
        tone += (corner_tone[f, 1] - corner_tone[f, 0]) * bary[i, 0]
        tone += (corner_tone[f, 2] - corner_tone[f, 0]) * bary[i, 1]
        tone = min(max(tone, np.float32(0.0)), np.float32(1.0))
        area[i] = area_of_face[f]
        row[i] = area[i] * levels + int(tone * np.float32(levels - 1) + np.float32(0.5))


def paint_look(look: Look, table: PaintTable, lamp: Lamp | None) -> Picture:
    """The picture of one scheme: a table look-up a sample, then the lamp."""
    if lamp is None or look.lit is None:
        return gather_picture(look.seen, np.take(table.linear.reshape(-1, 3), look.row, axis=0))
    return gather_picture(look.seen, under_lamp(look.row, look.area, look.lit, table, lamp))


def value_of_look(look: Look, table: PaintTable) -> Picture:
    """The paint's own value, without lamp, as a grey picture in linear luminance."""
    return gather_picture(look.seen, np.take(table.luminance, look.row))
