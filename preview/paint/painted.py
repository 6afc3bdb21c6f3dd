"""A sculpt with a scheme on it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.light.lightmap import Rig
from preview.optics.appearance import lab_from_reflectance
from preview.paint.coverage import Coverage
from preview.paint.table import PaintTable, level_of_tone
from preview.ramp.levels import step_reflectance
from preview.ramp.ramp import Ramp
from preview.ramp.scheme import Scheme


@dataclass(frozen=True, eq=False)
class Painted:
    """What a scheme makes of a sculpt, before any picture is taken.

    rig : the painted light that was used.
    tone : (faces,) float32 in [0, 1], the lighting term after spreading.
    corner_tone : (faces, 3) float32, the same at the corners, never mixed across areas.
    ramp_of_area : one per area; None is bare primer.
    notes : plain sentences, such as areas that the scheme leaves bare.
    """

    sculpt: Sculpt
    scheme: Scheme
    rig: Rig
    tone: NDArray[np.float32]
    corner_tone: NDArray[np.float32]
    ramp_of_area: tuple[Ramp | None, ...]
    table: PaintTable
    coverage: tuple[Coverage, ...]
    notes: tuple[str, ...]

    def face_luminance(self) -> NDArray[np.float32]:
        """(faces,) float32: CIE Y in [0, 1] of the paint on each face, under D65."""
        return self.table.luminance[self.sculpt.area, level_of_tone(self.tone)]

    def face_lab(self) -> NDArray[np.float32]:
        """(faces, 3) float32: CIELAB D65/2° of the paint on each face."""
        return self.table.lab[self.sculpt.area, level_of_tone(self.tone)]

    def midtone_lab(self) -> NDArray[np.float32]:
        """(areas, 3) float32: CIELAB of each area's mid-tone, or of the bare primer."""
        rows = []
        for index, ramp in enumerate(self.ramp_of_area):
            if ramp is None:
                rows.append(self.table.lab[index, 0])
            else:
                place = ramp.steps.index(ramp.midtone)
                looks = step_reflectance(ramp, self.scheme.primer.reflectance)
                rows.append(np.asarray(lab_from_reflectance(looks[place]), dtype=np.float32))
        return np.array(rows, dtype=np.float32)
