"""A paint's opposite in each of three meanings, which are seldom the same paint."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from preview.mix.neutral import Neutral, least_chroma, most_neutral_mix
from preview.mix.recipes import constants_of
from preview.optics.spectrum import Floats
from preview.palette.options import MAYBE_NEUTRAL
from preview.palette.standing import Standing


@dataclass(frozen=True)
class Across:
    """The paint that stands nearest to opposite.

    off_deg : how far it is from exactly opposite, [0, 90]; beyond, it would not be on the other
        side at all.
    """

    name: str
    off_deg: float


@dataclass(frozen=True, eq=False)
class Neutralised:
    """The paint that takes most colour out of another, and the mix in which it does."""

    name: str
    neutral: Neutral


@dataclass(frozen=True, eq=False)
class Opposites:
    """What of a rack stands opposite one of its paints.

    circle : opposite on the painters' circle, 180° of wheel; for harmony as painters teach it.
    cielab : opposite in CIELAB hue, 180° of h_ab; what the eye takes for opposite. Both None
        when no paint is on the other side.
    mixing : mixes with it to the least chroma: the complement at the desk. None when no mix is
        less chromatic than both pots alone and within MAYBE_NEUTRAL, and for metallic paints.
    """

    name: str
    circle: Across | None
    cielab: Across | None
    mixing: Neutralised | None


def find_opposites(standings: Sequence[Standing]) -> list[Opposites]:
    """The opposites of each paint that has a hue, among the others that have one.

    Pale and neutral pots are left out: they take the colour out of any paint.

    Parameters
    ----------
    standings : of one rack, see `preview.palette.standing.stand_on_circle`.

    Returns
    -------
    One for each paint that is neither pale nor neutral, in the same order.
    """
    hued = [one for one in standings if one.kind in ("colour", "brown")]
    wheel = np.array([one.place.wheel_deg for one in hued])
    hue = np.array([one.hue_deg for one in hued])
    on_circle, in_cielab = _from_opposite(wheel), _from_opposite(hue)
    mixing = _mixing(hued)
    return [
        Opposites(
            one.name, _across(hued, on_circle[k]), _across(hued, in_cielab[k]), mixing.get(one.name)
        )
        for k, one in enumerate(hued)
    ]


def _from_opposite(angle_deg: Floats) -> Floats:
    """(paints, paints): how far each is from opposite each, degrees; infinite to itself."""
    apart = np.abs((angle_deg[None, :] - angle_deg[:, None] + 180.0) % 360.0 - 180.0)
    off = 180.0 - apart
    np.fill_diagonal(off, np.inf)
    return np.asarray(off)


def _across(hued: Sequence[Standing], off: Floats) -> Across | None:
    """The nearest to opposite of all others; None where none is on the other side."""
    best = int(np.argmin(off))
    return Across(hued[best].name, float(off[best])) if off[best] <= 90.0 else None


def _mixing(hued: Sequence[Standing]) -> dict[str, Neutralised]:
    """For each paint the one that mixes with it to the least chroma, where colour goes at all."""
    pots = [one for one in hued if one.mixes_as_pigments]
    least = _least_chroma(pots)
    found = {}
    for k, pot in enumerate(pots):
        best = int(np.argmin(least[k]))
        if least[k, best] <= MAYBE_NEUTRAL:
            other = pots[best]
            found[pot.name] = Neutralised(other.name, most_neutral_mix(pot.mix, other.mix))
    return found


def _least_chroma(pots: Sequence[Standing]) -> Floats:
    """(paints, paints) least C* of whole-drop mixes; infinite where none is below both pots."""
    count = len(pots)
    least = np.full((count, count), np.inf)
    pairs = np.stack(np.triu_indices(count, 1), axis=1)
    if not len(pairs):
        return least
    mixed = least_chroma(*constants_of([one.paint for one in pots]), pairs)
    alone = np.array([one.place.chroma for one in pots])[pairs].min(axis=1)
    mixed = np.where(mixed < alone, mixed, np.inf)
    least[pairs[:, 0], pairs[:, 1]] = least[pairs[:, 1], pairs[:, 0]] = mixed
    return least
