"""How many mm² of each step lie on each area: the base coat on all of it, others on their share.

The mid-tone is laid over the whole area, which is then shaded and lifted (common practice, no
source).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from preview.optics.spectrum import Floats
from preview.paint.painted import Painted
from preview.paint.table import LEVELS, level_of_tone
from preview.ramp.levels import ground_name, step_position
from preview.ramp.ramp import Ramp, Step
from preview.ramp.words import PRIMER


@dataclass(frozen=True)
class Laid:
    """One step on one area.

    shown_mm2 : where it is what one sees, mm²; over the steps they add up to the area.
    under_mm2 : where it lies beneath other steps, mm².
    coats : how many it takes, each over all of both; parts of a coat for a glaze.
    over : what it lies on: "primer" or another step of the ramp.
    hides : False for an opaque step that does not hide what it lies on in any sensible number of
        coats.
    first : whether it is the base coat, the opaque step that goes down before the others.
    glaze : whether it is a glaze.
    """

    area: str
    ramp: str
    step: str
    shown_mm2: float
    under_mm2: float
    coats: float
    over: str
    hides: bool
    first: bool = False
    glaze: bool = False

    @property
    def coat_mm2(self) -> float:
        """All that is brushed, counted once for every coat, mm²."""
        return (self.shown_mm2 + self.under_mm2) * self.coats


# Beyond this many coats a paint is no basecoat; so many are counted then (common practice, no
# source).
MOST_COATS = 6
# A base coat is laid thin so many times even where one would hide (common practice, no source).
BASE_COATS = 2


def laid_steps(painted: Painted, coats: int | None = None) -> tuple[Laid, ...]:
    """What lies where, area by area and step by step from the darkest.

    The mid-tone is the base coat, or the opaque step that shows most where the mid-tone is a
    glaze; it lies on all of the area but what glazes leave to the primer. Inside the blend between
    two steps each takes its share: half and half in the middle.

    Parameters
    ----------
    painted : the sculpt with its scheme; faces that no direction sees take no paint.
    coats : of every opaque step; None for as many as hide what it lies on, and for the base coat
        at least `BASE_COATS`.

    Notes
    -----
    Holds exactly: the shown mm² of an area's steps add up to its visible surface; a base coat's
    shown and hidden mm² do so, too, where no glaze lies on primer.
    Leaves out: opaque steps beneath other opaque steps, but for the base coat.
    """
    sculpt, primer = painted.sculpt, painted.scheme.primer.reflectance
    rows = []
    for index, ramp in enumerate(painted.ramp_of_area):
        if ramp is None:
            continue
        mine = (sculpt.area == index) & sculpt.exposed
        at_level = np.bincount(
            level_of_tone(painted.tone[mine]), weights=sculpt.mm2[mine], minlength=LEVELS
        )
        shown = at_level @ step_shares(ramp)
        base = _base_coat(ramp, shown)
        under = _beneath(ramp, shown, base)
        for number, step in enumerate(ramp.steps):
            over = _ground(ramp, number, base) or PRIMER
            ground = primer if over == PRIMER else ramp.step(over).mix.reflectance
            many, hides = _coats(step, ground, coats, BASE_COATS if number == base else 1)
            rows.append(
                Laid(
                    area=sculpt.area_names[index],
                    ramp=ramp.name,
                    step=step.name,
                    shown_mm2=float(shown[number]),
                    under_mm2=float(under[number]),
                    coats=many,
                    over=over,
                    hides=hides,
                    first=number == base,
                    glaze=step.glaze_coats is not None,
                )
            )
    return tuple(rows)


def step_shares(ramp: Ramp) -> Floats:
    """(levels, steps) in [0, 1]: how much of each step a tone shows; rows add up to 1."""
    place = step_position(ramp, LEVELS)
    return np.maximum(1.0 - np.abs(place[:, None] - np.arange(len(ramp.steps))), 0.0)


def _base_coat(ramp: Ramp, shown: Floats) -> int | None:
    """Which step goes down first; None when all are glazes."""
    opaque = [k for k, step in enumerate(ramp.steps) if step.glaze_coats is None]
    return max(opaque, key=lambda k: (ramp.steps[k] is ramp.midtone, shown[k]), default=None)


def _ground(ramp: Ramp, index: int, base: int | None) -> str | None:
    """What a step lies on: a glaze as it is written, others on the base coat; None for primer."""
    if ramp.steps[index].glaze_coats is not None:
        return ground_name(ramp, index)
    return None if base is None or index == base else ramp.steps[base].name


def _beneath(ramp: Ramp, shown: Floats, base: int | None) -> Floats:
    """(steps,) mm² of each step that lie under others: glazes may lie on glazes, most on a base."""
    names = [step.name for step in ramp.steps]
    under = np.zeros(len(names))
    for index in range(len(names)):
        ground = _ground(ramp, index, base)
        while ground is not None:
            beneath = names.index(ground)
            under[beneath] += shown[index]
            ground = _ground(ramp, beneath, base)
    return under


def _coats(step: Step, ground: Floats, asked: int | None, least: int) -> tuple[float, bool]:
    """How many coats a step takes, and whether they hide what it lies on."""
    if step.glaze_coats is not None:
        return step.glaze_coats, True
    needed = step.mix.coats_to_hide(ground)
    hides = needed is not None and needed <= (asked or MOST_COATS)
    if asked is not None:
        return float(asked), hides
    return float(max(least, needed)) if needed is not None and hides else float(MOST_COATS), hides
