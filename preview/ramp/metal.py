"""The ramp of a metal: its own pot, shaded by glazes over it, never mixed with pigments.

Pigment in a metallic paint hides its flakes, and white most of all; a thin dark film lets them
shine. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

import numpy as np

from preview.mix.mixture import Mix
from preview.mix.recipes import mix_mixes
from preview.optics.appearance import lab_from_reflectance
from preview.optics.spectrum import Floats
from preview.ramp.plan import Plan
from preview.ramp.rule import EVEN, LEAST_STEP, TURN, dark_goals, step_names
from preview.ramp.tray import Tray
from preview.ramp.words import GLAZE, OVER, Role

# How thick a glaze may be, and how many shades of one metal can be told apart.
COATS = (0.05, 0.1, 0.15, 0.2, 0.3, 0.5, 1.0)
MOST_DARKER = 3


def plan_metal(tray: Tray, darker: int = 0) -> Plan:
    """The metal alone, and below it one glaze after another of the same dark mix.

    The glaze is of one pot, or of two, that darkens the metal by about EVEN and turns
    its hue least.

    Parameters
    ----------
    tray : pots, a metal one among them.
    darker : how many glazes the mid-tone itself has, for a darker variant of the same metal; the
        metal is its highlight then.

    Returns
    -------
    Plan with up to two shadows, fewer where the pots darken the metal no further.
    """
    metal = tray.rack.mix({tray.pots["metal"]: 1})
    goal, mix, coats = _glaze(tray, metal)
    looks = [metal.reflectance]
    for look in _films(mix, coats, metal.reflectance):
        if len(looks) > min(darker, MOST_DARKER) + 2 or _fall(looks[-1], look)[0] < LEAST_STEP:
            break
        looks.append(look)
    above = min(darker, MOST_DARKER, len(looks) - 1)
    names = step_names(min(len(looks) - 1 - above, 2), above)[::-1]
    film: dict[str, int] = {str(role): n for role, n in goal.items()}
    steps: dict[str, dict[str, int | float | str]] = {names[0]: {"metal": 1}}
    for ground, name in pairwise(names):
        steps[name] = {**film, GLAZE: coats, OVER: ground}
    rising = {name: steps[name] for name in reversed(names)}
    return Plan(rising, lab_from_reflectance(looks[above]))


def _glaze(tray: Tray, metal: Mix) -> tuple[Mapping[Role, int], Mix, float]:
    """The drops of the best glaze, their mix, and its thickness in coats."""
    pots = {role: tray.rack.mix({name: 1}) for role, name in tray.pots.items()}
    found = []
    for goal in dark_goals(tray):
        mix = mix_mixes([(pots[role], n) for role, n in goal.items()])
        for coats in COATS:
            fall, turn = _fall(metal.reflectance, mix.over(metal.reflectance, coats))
            found.append((abs(fall - EVEN) + TURN * turn, goal, mix, coats))
    _, goal, mix, coats = min(found, key=lambda one: one[0])
    return goal, mix, coats


def _films(mix: Mix, coats: float, ground: Floats) -> Iterator[Floats]:
    """(31,) looks of one film after another over a ground, without end."""
    while True:
        ground = mix.over(ground, coats)
        yield ground


def _fall(ground: Floats, film: Floats) -> tuple[float, float]:
    """By how much a film darkens its ground, in L*, and turns its a* and b*."""
    before, after = lab_from_reflectance(ground), lab_from_reflectance(film)
    return float(before[0] - after[0]), float(np.hypot(*(after - before)[1:]))
