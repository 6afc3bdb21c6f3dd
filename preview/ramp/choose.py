"""Four pots from a rack: one warm, one cold, an off-white, and a brown where it is needed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

from preview.mix.neutral import Neutral, most_neutral_mix
from preview.optics.spectrum import Floats
from preview.palette.kinds import best_pale
from preview.palette.roles import Candidate, Cast, candidate, cast_roles
from preview.rack.paint import Rack
from preview.ramp.plan import AXES, DROP_COST
from preview.ramp.tray import Tray
from preview.ramp.words import Role

# A set should reach this dark; common practice, no source.
DARK_LIGHTNESS = 28.0
MOST_PAIRS = 40
# A pot on the border between warm and cold is taken only where it saves this much, in CIELAB.
BORDER_COST = 6.0
# A metallic paint farther than this from a metal's a* and b* is another metal.
METAL_FAR = 16.0


@dataclass(frozen=True, eq=False)
class Wish:
    """A colour that the figure needs.

    lab : (3,) CIELAB.
    weight : how much missing it counts; 1 for most.
    hue : whether its hue matters more than its lightness, as where an area is named by it.
    """

    lab: Floats
    weight: float = 1.0
    hue: bool = False


@dataclass(frozen=True)
class Chosen:
    """The pots, and why: one sentence per role, also for a brown that is left out."""

    pots: dict[Role, str]
    why: dict[Role, str]


def choose_pots(rack: Rack, wishes: Sequence[Wish], metal: str | None = None) -> Chosen:
    """Four pots of a rack, or three where the warm and the cold one mix to a neutral.

    Of all pairs of a warm and a cold paint that pair is taken whose small whole-drop mixes, with
    the off-white and the brown, come nearest to the colours the figure needs and reach dark
    enough. A metal pot comes on top of the four.

    Parameters
    ----------
    rack : the paints one owns.
    wishes : the colours that the figure needs; at least one.
    metal : a metallic paint to add as a pot of its own.

    Raises
    ------
    CannotDo : the rack has no paint for a role; all such roles at once.
    """
    roles = cast_roles(rack)
    browns = sorted(roles.by_role["brown"], key=lambda paint: paint.lightness)
    warm, cold, pale = roles.by_role["warm"], roles.by_role["cold"], _pale(roles)
    sets = [
        (
            _set_of(w, c, pale, browns, roles.off_white),
            BORDER_COST * (w.place.borderline + c.place.borderline),
        )
        for w, c in _pairs(warm, cold, wishes)
    ]
    chosen, _ = min(sets, key=lambda one: _shortfall(Tray(rack, one[0].pots), wishes) + one[1])
    if metal is not None:
        chosen.pots["metal"] = metal
        chosen.why["metal"] = candidate(rack, metal).words
    return chosen


def given_pots(rack: Rack, pots: Mapping[Role, str], metal: str | None = None) -> Chosen:
    """Pots that were chosen elsewhere, each with what it is.

    Parameters
    ----------
    rack : where the paints stand.
    pots : role -> paint; without a brown it is told what warm and cold mix to.
    metal : a metallic paint to add as a pot of its own.
    """
    every: dict[Role, str] = {**pots, "metal": metal} if metal is not None else dict(pots)
    paints = {role: candidate(rack, name) for role, name in every.items()}
    chosen = Chosen(
        {role: paint.name for role, paint in paints.items()},
        {role: paint.words for role, paint in paints.items()},
    )
    if "brown" not in pots:
        neutral = most_neutral_mix(paints["warm"].mix, paints["cold"].mix)
        _add_brown(chosen, (), neutral)
        if neutral.verdict == "can't tell":
            chosen.why["brown"] = f"left out: warm and cold may mix to a neutral ({_grey(neutral)})"
    return chosen


def metal_for(rack: Rack, wanted: Mapping[str, Floats]) -> tuple[str, str] | None:
    """The metallic paint that suits one of the metals of a figure best.

    Parameters
    ----------
    wanted : metal -> (3,) CIELAB.

    Returns
    -------
    metal, paint : None when the rack has no metallic paint that looks like any of them.
    """
    pairs = [
        (float(np.linalg.norm((rack.mix({name: 1}).lab - lab)[1:])), metal, name)
        for name, paint in rack.paints.items()
        if paint.finish == "metallic"
        for metal, lab in wanted.items()
    ]
    far, metal, name = min(pairs, default=(np.inf, "", ""))
    return (metal, name) if far <= METAL_FAR else None


def _pairs(
    warm: Sequence[Candidate], cold: Sequence[Candidate], wishes: Sequence[Wish]
) -> list[tuple[Candidate, Candidate]]:
    """The pairs worth a closer look: strong in chroma, apart in lightness, off the borders.

    Those with a paint of a hue that an area is named by come too.
    """

    def strength(pair: tuple[Candidate, Candidate]) -> float:
        w, c = pair
        return (
            min(w.place.chroma, 55.0) / 55.0
            + min(c.place.chroma, 35.0) / 35.0
            + min(abs(w.lightness - c.lightness), 25.0) / 25.0
            - 0.7 * (w.place.borderline + c.place.borderline)
        )

    ordered = sorted(product(warm, cold), key=strength, reverse=True)
    own = {_of_hue([*warm, *cold], wish.lab).name for wish in wishes if wish.hue}
    rest = [p for p in ordered[MOST_PAIRS:] if p[0].name in own or p[1].name in own]
    return [*ordered[:MOST_PAIRS], *rest[:MOST_PAIRS]]


def _of_hue(paints: Sequence[Candidate], lab: Floats) -> Candidate:
    """The paint whose hue is nearest to a colour's."""
    return min(paints, key=lambda paint: _hue_gap(paint.mix.lab, lab))


def _hue_gap(lab: Floats, other: Floats) -> float:
    """How far two hues are apart, degrees."""
    turn = np.arctan2(lab[2], lab[1]) - np.arctan2(other[2], other[1])
    return float(np.degrees(abs(np.angle(np.exp(1j * turn)))))


def _set_of(
    warm: Candidate,
    cold: Candidate,
    pale: Candidate,
    browns: Sequence[Candidate],
    off_white: bool,
) -> Chosen:
    """The pots around one pair, with a brown unless the pair makes its own."""
    three: dict[Role, Candidate] = {"warm": warm, "cold": cold, "pale": pale}
    chosen = Chosen(
        {role: paint.name for role, paint in three.items()},
        {role: paint.words for role, paint in three.items()},
    )
    if not off_white:
        chosen.why["pale"] += "; a pure white, for the rack has no off-white"
    _add_brown(chosen, browns, most_neutral_mix(warm.mix, cold.mix))
    return chosen


def _shortfall(tray: Tray, wishes: Sequence[Wish]) -> float:
    """How far the mixes of a set stay from the colours needed: mean distance in CIELAB and drops.

    Where the hue matters, lightness counts less.
    """
    lab = tray.recipe_lab
    short = DROP_COST * tray.recipes.sum(axis=1)
    cost = np.array(
        [np.linalg.norm((lab - wish.lab) * _axes(wish), axis=1) + short for wish in wishes]
    )
    missed = np.mean([wish.weight for wish in wishes] * cost.min(axis=1))
    too_light = max(float(lab[:, 0].min()) - DARK_LIGHTNESS, 0.0)
    return float(missed) + 0.5 * too_light


def _axes(wish: Wish) -> Floats:
    """What a step of L*, a* and b* away from a wish counts."""
    return np.array([0.5, 1.0, 1.0]) if wish.hue else AXES


def _pale(roles: Cast) -> Candidate:
    """The best off-white; a pure white only when there is none."""
    paints = roles.by_role["pale"]
    return paints[best_pale([paint.mix.lab for paint in paints]) or 0]


def _add_brown(chosen: Chosen, browns: Sequence[Candidate], neutral: Neutral) -> None:
    """A brown pot, unless the pair makes its own."""
    grey = _grey(neutral)
    if neutral.verdict == "complementary":
        chosen.why["brown"] = f"left out: warm and cold mix to a neutral ({grey})"
    elif browns:
        chosen.pots["brown"], chosen.why["brown"] = browns[0].name, browns[0].words
    else:
        chosen.why["brown"] = (
            f"there is none, and warm and cold may not mix to a neutral ({grey}): mix and look"
        )


def _grey(neutral: Neutral) -> str:
    """The most neutral mix in numbers, and whether they are an estimate."""
    drops = f"{neutral.drops[0]} warm to {neutral.drops[1]} cold"
    sure = "" if neutral.mix.calibrated else ", an estimate"
    return f"{drops} has chroma {neutral.chroma:.1f} at L* {neutral.lightness:.0f}{sure}"
