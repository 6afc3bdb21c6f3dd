"""How much of each area shows which step of its ramp, counted on the faces."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.ramp.levels import step_of_tone
from preview.ramp.ramp import Ramp
from preview.ramp.words import Group, group_of


@dataclass(frozen=True)
class Coverage:
    """One area's paint.

    mm2 : the area's visible surface, mm².
    share : of the whole figure's visible surface, in [0, 1].
    groups : share of the area in shadow, mid-tone and highlight, in [0, 1]; empty on bare primer.
    steps : the same per step of the ramp, by name.
    """

    area: str
    mm2: float
    share: float
    groups: dict[Group, float]
    steps: dict[str, float]


def coverage(
    sculpt: Sculpt, ramp_of_area: Sequence[Ramp | None], tone: NDArray[np.float32]
) -> tuple[Coverage, ...]:
    """Coverage of every area; faces that no direction sees count nowhere."""
    size = np.where(sculpt.exposed, sculpt.mm2, 0.0).astype(np.float64)
    whole = max(float(size.sum()), 1e-12)
    rows = []
    for index, name in enumerate(sculpt.area_names):
        mine = sculpt.area == index
        mm2 = float(size[mine].sum())
        ramp = ramp_of_area[index]
        steps: dict[str, float] = {}
        groups: dict[Group, float] = {}
        if ramp is not None:
            groups = {"shadow": 0.0, "midtone": 0.0, "highlight": 0.0}
            counted = np.bincount(
                step_of_tone(ramp, tone[mine]), weights=size[mine], minlength=len(ramp.steps)
            )
            for step, part in zip(ramp.steps, counted / max(mm2, 1e-12), strict=True):
                steps[step.name] = float(part)
                groups[group_of(step.name)] += float(part)
        rows.append(Coverage(name, mm2, mm2 / whole, groups, steps))
    return tuple(rows)
