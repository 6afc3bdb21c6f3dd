"""A ramp to begin from: the mid-tone nearest a colour, a shadow below it, highlights above it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from preview.optics.spectrum import Floats
from preview.ramp.tray import Tray
from preview.ramp.words import Role

Drops = Mapping[str, int]

# Steps this much lighter or darker than the mid-tone, in L*; common practice, no source.
SHADOW_DROP, FIRST_LIFT, SECOND_LIFT = 13.0, 11.0, 22.0
LEAST_STEP = 3.5
_RATIOS = ((8, 1), (5, 1), (3, 1), (2, 1), (1, 1), (1, 2), (1, 3), (1, 5))
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

    lab : (3,) CIELAB of the mid-tone.
    """

    shadow: Drops | None
    midtone: Drops
    highlights: tuple[Drops, ...]
    lab: Floats


def plan_ramp(
    tray: Tray,
    aim: Floats,
    others: Sequence[Plan] = (),
    family: Sequence[Plan] = (),
    main: Role | None = None,
    room: float = SHADOW_DROP,
) -> Plan:
    """A ramp around the mix of the tray that comes nearest to a colour.

    Parameters
    ----------
    tray : the pots.
    aim : (3,) CIELAB of the mid-tone wanted.
    others : ramps planned before; their mid-tones are kept apart from this one.
    family : ramps whose mid-tones this one's must differ from in L*, too.
    main : a pot that more than half of the mid-tone comes from.
    room : how much darker than the mid-tone the darkest mix is at least, in L*.

    Returns
    -------
    Plan whose steps rise in L* by at least LEAST_STEP each; without a shadow or highlights
    where the pots give none.
    """
    mid = tray.recipes[_nearest_midtone(tray, aim, others, family, main, room)]
    share = mid / mid.sum()
    lab = tray.lab(share)
    shadow = _step_near(tray, share, lab, -SHADOW_DROP, (*_darkeners(tray),))
    lights: list[Drops] = []
    floor = lab[0]
    for lift in (FIRST_LIFT, SECOND_LIFT):
        found = _step_near(tray, share, lab, lift, _lighteners(tray), floor)
        if found is not None:
            lights.append(found[0])
            floor = found[1]
    midtone: Drops = {role: int(n) for role, n in zip(tray.roles, mid, strict=True) if n}
    return Plan(shadow[0] if shadow else None, midtone, tuple(lights), lab)


def _nearest_midtone(
    tray: Tray,
    aim: Floats,
    others: Sequence[Plan],
    family: Sequence[Plan],
    main: Role | None,
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
    if main:
        of_main = tray.recipes[:, tray.roles.index(main)]
        cost[2 * of_main <= tray.recipes.sum(axis=1)] = np.inf
    return int(np.argmin(cost))


def _darkeners(tray: Tray) -> tuple[Role, ...]:
    """Pots that a shadow may be mixed with."""
    return tuple(r for r in ("cold", "brown", "dark", "warm") if r in tray.roles)


def _lighteners(tray: Tray) -> tuple[Role, ...]:
    """Pots that a highlight may be mixed with."""
    return tuple(r for r in ("pale",) if r in tray.roles)


def _step_near(
    tray: Tray, share: Floats, lab: Floats, lift: float, roles: Sequence[Role], floor: float = 0.0
) -> tuple[Drops, float] | None:
    """The step whose L* is nearest to `lift` above the mid-tone, and its L*; None when none is."""
    best: tuple[float, Drops, float] | None = None
    for drops, found in _steps(tray, share, roles):
        gap = found[0] - max(floor, lab[0]) if lift > 0 else lab[0] - found[0]
        if gap < LEAST_STEP:
            continue
        turned = float(np.hypot(*(found[1:] - lab[1:])))
        cost = 0.7 * abs(found[0] - lab[0] - lift) + 0.5 * turned + 0.3 * sum(drops.values())
        if best is None or cost < best[0]:
            best = (cost, drops, float(found[0]))
    return None if best is None else best[1:]


def _steps(tray: Tray, share: Floats, roles: Sequence[Role]) -> Iterator[tuple[Drops, Floats]]:
    """Mixes of the mid-tone with one or two pots, and their CIELAB."""
    for role in roles:
        for of_mid, of_pot in _RATIOS:
            drops = of_mid * share + of_pot * tray.unit(role)
            yield {"midtone": of_mid, role: of_pot}, tray.lab(drops)
        for other in roles[roles.index(role) + 1 :]:
            drops = share + tray.unit(role) + tray.unit(other)
            yield {"midtone": 1, role: 1, other: 1}, tray.lab(drops)
