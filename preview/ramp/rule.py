"""The steps of a ramp by rule: from the mid-tone one walk into the dark, one into the light."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from preview.errors import CannotDo, Fault
from preview.mix.circle import NEUTRAL_CHROMA
from preview.mix.ratios import full_ratios
from preview.optics.cie1976_lab import chroma_from_lab
from preview.optics.spectrum import Floats
from preview.ramp.tray import Tray
from preview.ramp.words import Role, highlight_name

Drops = Mapping[str, int]

# From step to step, in L*, where the pots have room for it; and the least that counts as a step.
# Both common practice, no source.
EVEN, LEAST_STEP = 12.0, 3.5
# Drops in one step at most, a drop of the mid-tone counting one.
MOST_DROPS = 9
# What is weighed when steps are chosen, in L* of a step that is not even: a drop more, a unit of a*
# and b* away from the mid-tone, a unit of L* that a line has no room for, the dark pot, a
# concession, and a shadow that has to wait for the deep one.
_DROP, TURN, _SHORT, _DARK, _WAIT = 0.3, 0.5, 2.0, 3.0, 4.0
# Steps that differ by less than this share are as good as even: fewer drops are better.
_EVEN_ENOUGH = 0.2
# How many times the mid-tone's chroma a step may have, and how much what leaves that way, or goes
# beyond it, counts again. Common practice, no source.
_RICHER, _ASTRAY = 1.5, 2.0
# A neutral mid-tone darker than this, in L*, is a black or a dark grey: a shadow with a hue of its
# own would look dyed, not dark. A white may have bluish or creamy ones. Common practice, no source.
_GREY_BELOW = 50.0
# Drops of two pots in a goal. Those that neutralise each other do so best in other parts than 1:1.
_DROP_BY_DROP, _NEUTRALISING = (1, 1), ((2, 1), (1, 2), (3, 1), (1, 3))
_DARKENERS: tuple[Role, ...] = ("cold", "brown", "dark", "warm", "accent")
_LIGHTENERS: tuple[Role, ...] = ("pale", "accent", "warm", "cold", "brown")


@dataclass(frozen=True, eq=False)
class _Line:
    """Mixes of the mid-tone with one goal, from much mid-tone to little.

    goal : its pots and their drops.
    ratios : (mixes, 2) drops of the mid-tone, and how many times the goal.
    rise : (mixes,) how far each is on its way, in L*.
    turn : (mixes,) how far its a* and b* are from what they should be, see `_turn`.
    chroma : (mixes,) its C*.
    """

    goal: Mapping[Role, int]
    ratios: NDArray[np.int64]
    rise: Floats
    turn: Floats
    chroma: Floats

    def up_to(self, chroma: float) -> _Line:
        """The line without mixes of more than a chroma."""
        kept = self.chroma <= chroma
        return _Line(
            self.goal, self.ratios[kept], self.rise[kept], self.turn[kept], self.chroma[kept]
        )

    @property
    def total(self) -> NDArray[np.int64]:
        """(mixes,) drops of each."""
        return np.asarray(self.ratios @ [1, sum(self.goal.values())])

    def drops(self, mix: int) -> Drops:
        """The drops of one of the mixes."""
        of_mid, times = (int(count) for count in self.ratios[mix])
        return {"midtone": of_mid, **{role: times * n for role, n in self.goal.items()}}


def steps_below_and_above(steps: int) -> tuple[int, int]:
    """How many of a ramp's steps lie below its mid-tone and how many above: more light than dark.

    Common practice, no source; a ramp has at most two shadows.
    """
    below = 1 if steps < 5 else 2
    return below, steps - 1 - below


def step_names(below: int, above: int) -> tuple[str, ...]:
    """What the steps are called, from the darkest."""
    dark = ("deep", "shadow")[2 - below :]
    light = ("highlight",) if above == 1 else tuple(highlight_name(n + 1) for n in range(above))
    return (*dark, "midtone", *light)


def steps_around(
    tray: Tray, midtone: Mapping[Role, int], below: int, above: int
) -> dict[str, Drops]:
    """Shadows and highlights around a mid-tone, as many of those wanted as the pots give.

    A side is a walk along one mixing line: the mid-tone with growing drops of a goal, which is the
    off-white for the light side (another pot where there is none) and for the dark side the pot, or
    the two, that keep the hue or make it greyer. So hue drifts one way and smoothly. Lightness
    changes by EVEN from step to step, or by as much as the line has room for, as evenly as few
    drops allow. Where one drop of a strong pot already darkens too much, the shadow is mixed from
    mid-tone and deep. A black or dark grey gets neutral shadows or, where no darker mix is neutral,
    none: it is its ramp's darkest step then.

    Parameters
    ----------
    tray : the pots.
    midtone : pot -> drops.
    below, above : steps wanted on either side.

    Returns
    -------
    Step -> drops of the mid-tone, of pots and, for the shadow, of the deep step, from the darkest;
    each step is at least LEAST_STEP lighter than the one before. A mid-tone of one pot that is also
    part of a goal is written as that pot: 3 warm + 2 cold, not 1 midtone + 2 warm + 2 cold.

    Notes
    -----
    Holds exactly: L* rises strictly; no step but the mid-tone has more than MOST_DROPS drops; the
    same pots give the same steps; a mid-tone of C* under NEUTRAL_CHROMA and L* under 50 has no
    shadow of more C* than `most_chroma` allows.
    """
    dark = _walk(tray, midtone, below, -1.0)
    light = _walk(tray, midtone, above, 1.0)
    own: Drops = {str(role): count for role, count in midtone.items()}
    steps = [*(_plainly(step, midtone) for step in reversed(dark)), own, *light]
    return dict(zip(step_names(len(dark), len(light)), steps, strict=True))


def ramp_by_rule(tray: Tray, midtone: Mapping[Role, int], steps: int) -> dict[str, Drops]:
    """Exactly so many steps around a mid-tone; see `steps_around`.

    Parameters
    ----------
    steps : in all, as many as preview.settings.STEPS allows.

    Raises
    ------
    CannotDo : the pots give fewer; it says how far the mid-tone can be darkened and lightened.
    """
    below, above = steps_below_and_above(steps)
    found = steps_around(tray, midtone, below, above)
    if len(found) == steps:
        return found
    names = list(found)
    short = [
        _shortfall(tray, midtone, way, names, wanted)
        for way, wanted in (("darkened", below), ("lightened", above))
    ]
    raise CannotDo.of([fault for fault in short if fault])


def _shortfall(
    tray: Tray, midtone: Mapping[Role, int], way: str, names: list[str], wanted: int
) -> Fault | None:
    """What one side lacks, in words; None when it lacks nothing."""
    middle, sign = names.index("midtone"), -1.0 if way == "darkened" else 1.0
    there = middle if sign < 0 else len(names) - middle - 1
    if there == wanted:
        return None
    own = float(_lab_of(tray, midtone)[0])
    if not there and sign < 0 and (dyed := dyed_shadow_in_words(tray, midtone)):
        return Fault(
            f"the mid-tone cannot be darkened with these pots: {dyed}",
            "mid-tone",
            "let the mid-tone be the darkest step, in a ramp without auto and without shadow; or "
            "take a lighter mid-tone or a darker neutral pot",
        )
    lines, most = list(_lines(tray, midtone, sign)), most_chroma(_lab_of(tray, midtone), sign)
    reach = max(
        (float(line.rise[line.chroma <= most].max(initial=0.0)) for line in lines), default=0.0
    )
    end = own + sign * reach
    can = f"can be {way} in {there} of {wanted} steps only" if there else f"cannot be {way}"
    mixes = "mixes" if most == np.inf else "neutral mixes"
    other = "a lighter mid-tone or a darker pot" if sign < 0 else "a darker mid-tone or a paler pot"
    return Fault(
        f"the mid-tone {can} with these pots: it has L* {own:.0f}, its {mixes} end at L* {end:.0f}",
        "mid-tone",
        f"take {other}{', or ask for fewer steps' if there else ''}; a step is at least "
        f"{LEAST_STEP:g} in L*",
    )


def dyed_shadow_in_words(tray: Tray, midtone: Mapping[Role, int]) -> str:
    """Why a black or dark grey has no shadow: its darker mixes show a hue; "" where some do not."""
    own = _lab_of(tray, midtone)
    most = most_chroma(own, -1.0)
    darker = [line.chroma[line.rise >= LEAST_STEP] for line in _lines(tray, midtone, -1.0)]
    least = min((float(chroma.min()) for chroma in darker if len(chroma)), default=0.0)
    if least <= most:
        return ""
    return (
        f"it is neutral, L* {own[0]:.0f} and C* {chroma_from_lab(own):.0f}, and the most neutral "
        f"of its mixes that are a step darker has C* {least:.0f}, which would look dyed"
    )


def most_chroma(own: Floats, sign: float) -> float:
    """How much C* the steps of one side may have: for shadows of a dark neutral little.

    Parameters
    ----------
    own : (3,) CIELAB of the mid-tone.
    sign : below 0 for shadows.
    """
    chroma = float(chroma_from_lab(own))
    if sign > 0 or own[0] >= _GREY_BELOW or chroma >= NEUTRAL_CHROMA:
        return np.inf
    return max(NEUTRAL_CHROMA, _RICHER * chroma)


def _plainly(step: Drops, midtone: Mapping[Role, int]) -> Drops:
    """A step with the mid-tone's drops as pots, where that names fewer things to count."""
    if len(midtone) != 1 or not set(midtone) & set(step) or "midtone" not in step:
        return step
    (only,) = midtone
    counts = {str(only): step["midtone"] + step[only]}
    counts |= {word: n for word, n in step.items() if word not in ("midtone", only)}
    common = math.gcd(*counts.values())
    return {word: n // common for word, n in counts.items()}


def _walk(tray: Tray, midtone: Mapping[Role, int], count: int, sign: float) -> tuple[Drops, ...]:
    """The steps of one side, outward from the mid-tone; fewer where no line has room for all."""
    most = most_chroma(_lab_of(tray, midtone), sign)
    held = (line.up_to(most) for line in _lines(tray, midtone, sign))
    lines = [line for line in held if len(line.rise)]
    for fewer in range(count, 0, -1):
        found = [(*_along(line, fewer), line) for line in lines if line.rise.max() >= LEAST_STEP]
        cost, steps, line = min(found, key=lambda one: one[0], default=(np.inf, (), None))
        if line is not None and np.isfinite(cost):
            plain = tuple(line.drops(step) for step in steps)
            return _through_deep(tray, midtone, line, steps) or plain if sign < 0 else plain
    return ()


def _through_deep(
    tray: Tray, midtone: Mapping[Role, int], line: _Line, steps: tuple[int, ...]
) -> tuple[Drops, ...]:
    """A line's shadow and deep, the shadow from mid-tone and deep; empty where plain is as good.

    steps : the plain shadow and deep.
    """
    if len(steps) != 2:
        return ()
    even = min(EVEN, float(line.rise.max()) / 2)
    off = 2 * _uneven(line.rise / 2, even) + _DROP * line.total
    off[line.rise < 2 * LEAST_STEP] = np.inf
    deep = int(np.argmin(off))

    # Mix the shadow from the mid-tone and that deep step.
    mid = _in_drops(tray, midtone)
    mid /= mid.sum()
    goal = _in_drops(tray, line.goal)
    parts = (line.ratios[deep, 0] * mid + line.ratios[deep, 1] * goal) / line.total[deep]
    ratios = full_ratios(2, MOST_DROPS)
    lab, own = tray.lab(ratios[:, :1] * mid + ratios[:, 1:] * parts), _lab_of(tray, midtone)
    rise = own[0] - lab[:, 0]
    cost = _uneven(rise, even) + _uneven(line.rise[deep] - rise, even)
    cost += _DROP * ratios.sum(axis=1)
    cost[(rise < LEAST_STEP) | (line.rise[deep] - rise < LEAST_STEP)] = np.inf
    cost[chroma_from_lab(lab) > most_chroma(own, -1.0)] = np.inf
    shadow = int(np.argmin(cost))

    plain = _uneven(np.diff(line.rise[list(steps)], prepend=0.0), even).sum()
    plain += _DROP * line.total[list(steps)].sum()
    if not _DROP * line.total[deep] + cost[shadow] + _WAIT < plain:
        return ()
    of_mid, of_deep = (int(count) for count in ratios[shadow])
    return {"midtone": of_mid, "deep": of_deep}, line.drops(deep)


def _along(line: _Line, count: int) -> tuple[float, tuple[int, ...]]:
    """The cheapest steps along one line, and what they cost; infinite where there is no room."""
    even = min(EVEN, float(line.rise.max()) / count)
    cost = _uneven(line.rise, even) + _DROP * line.total
    cost[line.rise < LEAST_STEP] = np.inf
    gap = line.rise[None, :] - line.rise[:, None]
    follows = np.triu(np.ones(gap.shape, dtype=bool), 1) & (gap >= LEAST_STEP)
    came: list[NDArray[np.intp]] = []
    for _ in range(1, count):
        through = np.where(follows, cost[:, None] + _uneven(gap, even), np.inf)
        came.append(np.argmin(through, axis=0))
        cost = through.min(axis=0) + _DROP * line.total
    last = int(np.argmin(cost))
    steps = [last]
    for before in reversed(came):
        steps.append(int(before[steps[-1]]))
    chosen = tuple(reversed(steps))
    short = _SHORT * sum(range(1, count + 1)) * (EVEN - even)
    turned = TURN * float(line.turn[list(chosen)].sum())
    conceded = _DARK if "dark" in line.goal else 0.0
    return float(cost[last]) + short + turned + conceded, chosen


def _uneven(gap: Floats, even: float) -> Floats:
    """How far steps are from even, past what is even enough."""
    return np.maximum(np.abs(gap - even) - _EVEN_ENOUGH * even, 0.0)


def _lines(tray: Tray, midtone: Mapping[Role, int], sign: float) -> Iterator[_Line]:
    """The lines that one side may go along: towards one pot, or into the dark towards two."""
    mid, own = _in_drops(tray, midtone), _lab_of(tray, midtone)
    share = mid / mid.sum()
    for goal in _goals(tray, sign):
        ratios = full_ratios(2, MOST_DROPS)
        ratios = ratios[ratios @ [1, sum(goal.values())] <= MOST_DROPS]
        ratios = ratios[np.argsort(ratios[:, 1] / ratios[:, 0], kind="stable")]
        lab = tray.lab(ratios[:, :1] * share + ratios[:, 1:] * _in_drops(tray, goal))
        rise, turn = sign * (lab[:, 0] - own[0]), _turn(lab, own)
        yield _Line(goal, ratios, rise, turn, chroma_from_lab(lab))


def _turn(lab: Floats, own: Floats) -> Floats:
    """(mixes,) how far a* and b* of a shadow or highlight are from what one wants of them.

    A step may keep its mid-tone's hue and be greyer or somewhat more colourful. What leaves that
    way counts again, by its square over the mid-tone's chroma: a cream or a grey soon looks pink
    or blue where a red or a green does not. Common practice, no source.
    """
    plane, own = lab[:, 1:], own[1:]
    chroma = float(np.hypot(*own))
    kept = np.clip(plane @ own / max(chroma**2, 1e-9), 0.0, _RICHER)
    astray = np.hypot(*(plane - kept[:, None] * own).T)
    return np.asarray(np.hypot(*(plane - own).T) + _ASTRAY * astray**2 / (chroma + NEUTRAL_CHROMA))


def _goals(tray: Tray, sign: float) -> list[Mapping[Role, int]]:
    """What the mid-tone may be mixed with on one side."""
    if sign > 0:
        if "pale" in tray.roles:
            return [{"pale": 1}]
        return [{role: 1} for role in _LIGHTENERS if role in tray.roles]
    return dark_goals(tray)


def dark_goals(tray: Tray) -> list[Mapping[Role, int]]:
    """What darkens, in drops: each of some pots, any two drop by drop, warm and cold also else."""
    there = [role for role in _DARKENERS if role in tray.roles]
    goals: list[Mapping[Role, int]] = [{role: 1} for role in there]
    for one, other in combinations(there, 2):
        opposed = {one, other} == {"warm", "cold"}
        for drops in (_DROP_BY_DROP, *(_NEUTRALISING if opposed else ())):
            goals.append(dict(zip((one, other), drops, strict=True)))
    return goals


def _in_drops(tray: Tray, goal: Mapping[Role, int]) -> Floats:
    """(roles,) a goal's drops, in the order of the tray."""
    return np.array([goal.get(role, 0) for role in tray.roles], dtype=np.float64)


def _lab_of(tray: Tray, midtone: Mapping[Role, int]) -> Floats:
    """(3,) CIELAB of the mid-tone."""
    return tray.lab(_in_drops(tray, midtone))
