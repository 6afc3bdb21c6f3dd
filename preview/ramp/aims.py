"""About which colour the ramp of each group of areas is planned, and what the pots reach of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from preview.optics.ciede2000 import ciede2000
from preview.optics.spectrum import Floats
from preview.ramp.choose import Wish
from preview.ramp.guess import CLOTH, CLOTHS, Group
from preview.ramp.materials import HUES, LOOKS, TONE_WORDS
from preview.ramp.plan import Plan
from preview.ramp.rule import EVEN
from preview.ramp.tray import Tray

# Variants of a material differ by this much in L*, and a dark or light one by this much more.
VARIANT_STEP, TONE_STEP = 11.0, 15.0
# A mid-tone this far from a colour word, in CIEDE2000, is told not to reach it. Both common
# practice, no source.
FAR = 10.0
LEAST_ROOM = 5.0
# What an area named by a hue or by another colour counts among materials when pots are chosen.
HUE_WEIGHT, COLOUR_WEIGHT = 10.0, 2.0
_VARIANTS = (0, 1, -1, 2, -2)


def wished(groups: Sequence[Group], but: Sequence[str]) -> list[Wish]:
    """What pots are chosen for: each group's look, once per area, but those of some materials.

    Areas named by a colour have to get it, so they count more. Skin, leather and rock when the
    figure names nothing.
    """
    wishes = [
        Wish(look_of(group), _weight(group), group.material in HUES)
        for group in groups
        if group.material not in (CLOTH, *but)
        for _ in group.areas
    ]
    plain = [Wish(np.array(LOOKS[m][0])) for m in ("skin", "leather", "rock")]
    return wishes or plain


def aims_of(groups: Sequence[Group], tray: Tray) -> dict[Group, Floats]:
    """(3,) CIELAB of the mid-tone that each group should have.

    Groups of one material are moved together into the lightness that the pots reach, so that
    a dark variant stays darker than its neighbour.
    """
    aims = {group: _aim(group, tray) for group in groups}
    lightness = tray.recipe_lab[:, 0]
    for material in {group.material for group in groups} - {CLOTH}:
        family = [group for group in groups if group.material == material]
        room = room_below(family[0])
        low, high = lightness.min() + room, lightness.max() - room / 2
        wanted = np.array([aims[group][0] for group in family])
        for group, light in zip(family, _within(wanted, low, high), strict=True):
            aims[group][0] = light
    return aims


def room_below(group: Group) -> float:
    """How much darker than a group's mid-tone the darkest mix should be, in L*.

    A colour that an area is named by may take most of the room of its own shadow: a black is
    to look black.
    """
    return LEAST_ROOM if group.is_colour else EVEN


def family_of(group: Group, plans: Mapping[Group, Plan]) -> list[Plan]:
    """The plans of other groups of the same material, which must differ in value."""
    if group.material == CLOTH:
        return []
    return [plan for other, plan in plans.items() if other.material == group.material]


def shortfall_in_words(group: Group, tray: Tray, plan: Plan) -> str:
    """What to say of a colour or material that its mid-tone misses; "" when it does not."""
    if group.material == CLOTH:
        return ""
    wanted = f"{'a ' if group.is_colour else ''}{TONE_WORDS[group.tone]}{group.material}"
    aim = look_of(group)
    own = float(ciede2000(plan.lab, aim))
    nearest = min(float(ciede2000(tray.recipe_lab, aim).min()), own)
    if nearest > FAR:
        return f"The pots cannot reach {wanted}: the nearest is ΔE00 {nearest:.0f}."
    if own > FAR:
        return (
            f"ΔE00 {own:.0f} from {wanted}, to keep it apart from other ramps and "
            f"leave room for its shadow; the nearest mix is ΔE00 {nearest:.0f}."
        )
    return ""


def _aim(group: Group, tray: Tray) -> Floats:
    """The mid-tone that a group would have if the pots could mix anything."""
    if group.material != CLOTH:
        return look_of(group)
    role, share, lightness = CLOTHS[group.turn]
    own = tray.lab(tray.unit(role))
    return np.array([lightness, share * own[1], share * own[2]])


def _weight(group: Group) -> float:
    """How much a group's look counts when pots are chosen."""
    if group.material in HUES:
        return HUE_WEIGHT
    return COLOUR_WEIGHT if group.is_colour else 1.0


def look_of(group: Group) -> Floats:
    """The look of a material, darker or lighter for a variant."""
    lab = np.array(LOOKS[group.material][0])
    towards_middle = 1.0 if lab[0] < 50.0 else -1.0
    variant = _VARIANTS[group.variant % len(_VARIANTS)]
    lab[0] += TONE_STEP * group.tone + VARIANT_STEP * towards_middle * variant
    return np.array([np.clip(lab[0], 10.0, 95.0), *lab[1:]])


def _within(wanted: Floats, low: float, high: float) -> Floats:
    """Values moved between two bounds with their differences kept, squeezed only if need be."""
    least, most = float(wanted.min()), float(wanted.max())
    if most - least > high - low:
        return np.asarray(np.interp(wanted, (least, most), (low, high)))
    return wanted + max(low - least, 0.0) - max(most - high, 0.0)
