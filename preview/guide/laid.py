"""How many mm² of each step lie on each area: blends shared out, glazes with what is under them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from preview.optics.spectrum import Floats
from preview.paint.painted import Painted
from preview.paint.table import LEVELS, level_of_tone
from preview.ramp.levels import ground_name, step_position
from preview.ramp.ramp import Ramp


@dataclass(frozen=True)
class Laid:
    """One step on one area.

    shown_mm2 : where it is what one sees, mm²; over the steps they add up to the area.
    under_mm2 : where it lies beneath a glaze, mm².
    coats : how many it takes, each over all of both; parts of a coat for a glaze.
    hides : False for an opaque step that does not hide the primer in any sensible number of coats.
    """

    area: str
    ramp: str
    step: str
    shown_mm2: float
    under_mm2: float
    coats: float
    hides: bool

    @property
    def coat_mm2(self) -> float:
        """All that is brushed, counted once for every coat, mm²."""
        return (self.shown_mm2 + self.under_mm2) * self.coats


# Beyond this many coats a paint is no basecoat; so many are counted then (common practice, no
# source).
MOST_COATS = 6


def laid_steps(painted: Painted, coats: int | None = None) -> tuple[Laid, ...]:
    """What lies where, area by area and step by step from the darkest.

    Inside the blend between two steps each takes its share: half and half in the middle.

    Parameters
    ----------
    painted : the sculpt with its scheme; faces that no direction sees take no paint.
    coats : of every opaque step; None for as many as hide the primer.

    Notes
    -----
    Holds exactly: the shown mm² of an area's steps add up to its visible surface.
    Leaves out: base coats of one step that another opaque step covers later.
    """
    sculpt, primer = painted.sculpt, painted.scheme.primer.reflectance
    counted: dict[tuple[str, str], tuple[float, bool]] = {}
    rows = []
    for index, ramp in enumerate(painted.ramp_of_area):
        if ramp is None:
            continue
        mine = (sculpt.area == index) & sculpt.exposed
        at_level = np.bincount(
            level_of_tone(painted.tone[mine]), weights=sculpt.mm2[mine], minlength=LEVELS
        )
        shown = at_level @ step_shares(ramp)
        under = _beneath(ramp, shown)
        for step, seen, hidden in zip(ramp.steps, shown, under, strict=True):
            if (ramp.name, step.name) not in counted:
                counted[ramp.name, step.name] = _coats(ramp, step.name, primer, coats)
            many, hides = counted[ramp.name, step.name]
            name = sculpt.area_names[index]
            rows.append(Laid(name, ramp.name, step.name, float(seen), float(hidden), many, hides))
    return tuple(rows)


def step_shares(ramp: Ramp) -> Floats:
    """(levels, steps) in [0, 1]: how much of each step a tone shows; rows add up to 1."""
    place = step_position(ramp, LEVELS)
    return np.maximum(1.0 - np.abs(place[:, None] - np.arange(len(ramp.steps))), 0.0)


def _beneath(ramp: Ramp, shown: Floats) -> Floats:
    """(steps,) mm² of each step that lie under glazes, which may lie over glazes themselves."""
    names = [step.name for step in ramp.steps]
    under = np.zeros(len(names))
    for index, step in enumerate(ramp.steps):
        top = index
        while step.glaze_coats is not None:
            ground = ground_name(ramp, top)
            if ground is None:
                break
            top = names.index(ground)
            under[top] += shown[index]
            step = ramp.steps[top]
    return under


def _coats(ramp: Ramp, name: str, primer: Floats, asked: int | None) -> tuple[float, bool]:
    """How many coats a step takes, and whether they hide the primer."""
    step = ramp.step(name)
    if step.glaze_coats is not None:
        return step.glaze_coats, True
    needed = step.mix.coats_to_hide(primer)
    hides = needed is not None and needed <= (asked or MOST_COATS)
    if asked is not None:
        return float(asked), hides
    return float(max(1, needed)) if needed is not None and hides else float(MOST_COATS), hides
