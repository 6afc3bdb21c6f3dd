"""A ramp to begin from: the mid-tone nearest a colour, a shadow below it, highlights above it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from preview.optics.spectrum import Floats
from preview.ramp.rule import EVEN, dyed_shadow_in_words, steps_around
from preview.ramp.tray import Tray

# One more drop is worth this much colour difference, so that recipes stay short.
DROP_COST = 0.7
# Mid-tones nearer to each other than this would look like one paint.
_APART = 7.0
# A grey that turns green is worse than one that is a little dark; common practice, no source.
AXES = np.array([1.0, 1.5, 1.5])
# Variants of one material differ by this much in L*.
_APART_IN_VALUE = 8.0


@dataclass(frozen=True, eq=False)
class Plan:
    """One ramp in whole drops, pots and steps by name, as a scheme file writes it.

    steps : step -> drops, from the darkest; a glaze with its coats and what it lies over.
    lab : (3,) CIELAB of the mid-tone.
    """

    steps: Mapping[str, Mapping[str, int | float | str]]
    lab: Floats


def plan_ramp(
    tray: Tray,
    aim: Floats,
    others: Sequence[Plan] = (),
    family: Sequence[Plan] = (),
    room: float = EVEN,
) -> Plan:
    """A ramp around the mix of the tray that comes nearest to a colour.

    Parameters
    ----------
    tray : the pots.
    aim : (3,) CIELAB of the mid-tone wanted.
    others : ramps planned before; their mid-tones are kept apart from this one.
    family : ramps whose mid-tones this one's must differ from in L*, too.
    room : how much darker than the mid-tone the darkest mix is at least, in L*.

    Returns
    -------
    Plan with a shadow and two highlights by rule, or as many of them as the pots give.
    """
    mid = tray.recipes[_nearest_midtone(tray, aim, others, family, room)]
    midtone = {role: int(n) for role, n in zip(tray.roles, mid, strict=True) if n}
    return Plan(steps_around(tray, midtone, 1, 2), tray.lab(mid))


def shadowless_in_words(tray: Tray, plan: Plan) -> str:
    """What to say of a ramp whose mid-tone is its darkest step; "" when it has a shadow."""
    if "shadow" in plan.steps:
        return ""
    drops = plan.steps["midtone"]
    why = dyed_shadow_in_words(tray, {r: int(drops[r]) for r in tray.roles if r in drops})
    why = why or "none of its mixes is a step darker"
    return f"No shadow, the mid-tone is the darkest step: {why}."


def _nearest_midtone(
    tray: Tray,
    aim: Floats,
    others: Sequence[Plan],
    family: Sequence[Plan],
    room: float,
) -> int:
    """Index of the recipe nearest to `aim`, short, and not like one that is planned already."""
    lab = tray.recipe_lab
    # The darkest mix has no shadow below it and the lightest no highlight above it, so mid-tones
    # keep off both ends.
    low, high = lab[:, 0].min() + room, lab[:, 0].max() - room / 2
    wanted = np.array([np.clip(aim[0], low, high), *aim[1:]])
    cost = np.linalg.norm((lab - wanted) * AXES, axis=1)
    cost += 2.0 * np.maximum(lab[:, 0] - high, 0.0)
    cost += DROP_COST * tray.recipes.sum(axis=1)
    for other in others:
        cost += 4.0 * np.maximum(_APART - np.linalg.norm(lab - other.lab, axis=1), 0.0)
    for other in family:
        cost += 3.0 * np.maximum(_APART_IN_VALUE - np.abs(lab[:, 0] - other.lab[0]), 0.0)
    return int(np.argmin(cost))
