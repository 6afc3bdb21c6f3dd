"""Which pot a paint can be: warm, cold, off-white, brown or dark, by the look of it in CIELAB."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal, cast

from preview.errors import CannotDo, Fault, UsageError, choices_fix
from preview.mix.circle import NEUTRAL_CHROMA, CirclePlace, Side, place_on_circle
from preview.mix.mixture import Mix
from preview.mix.undertone import DARK_LIGHTNESS
from preview.palette.kinds import (
    BROWN_CHROMA,
    BROWN_HUE,
    BROWN_LIGHTNESS,
    PALE_CHROMA,
    PALE_LIGHTNESS,
)
from preview.palette.standing import hue_tint_of
from preview.rack.paint import Rack

PotRole = Literal["pale", "brown", "dark", "warm", "cold"]
Range = tuple[float, float]

NEEDED: tuple[PotRole, ...] = ("warm", "cold", "pale")
_BY_TINT: tuple[PotRole, ...] = ("warm", "cold", "brown")
_ALL: Range = (0.0, math.inf)
_AXES = {"lightness": (0.0, 100.0), "chroma": (0.0, math.inf), "hue": (0.0, 360.0)}


@dataclass(frozen=True)
class Look:
    """What a paint has to look like for a role; the ends of a range belong to it.

    lightness : L*.
    lighter : whether L* has to be above the first end, not on it.
    chroma : C*ab.
    hue : hab in degrees, from the first turning up to the second.
    side : of the painters' circle, or None for either.
    """

    lightness: Range = (0.0, 100.0)
    chroma: Range = _ALL
    hue: Range = (0.0, 360.0)
    side: Side | None = None
    lighter: bool = False

    def fits(self, paint: Candidate) -> bool:
        """Whether a paint looks like it."""
        on_the_end = paint.lightness == self.lightness[0]
        return self.off(paint) == 0.0 and not (self.lighter and on_the_end)

    def off(self, paint: Candidate) -> float:
        """How far a paint is from its ranges, in CIELAB; inf on the wrong side."""
        place = paint.place
        if self.side is not None and place.side not in (self.side, "neutral"):
            return math.inf
        least = max(self.chroma[0], NEUTRAL_CHROMA) if self.side is not None else self.chroma[0]
        far = _outside(paint.lightness, self.lightness)
        far += _outside(place.chroma, (least, self.chroma[1]))
        low, high = self.hue
        past = (place.hue_deg - low) % 360.0
        if high - low < 360.0 and past > high - low:
            turn = min(past - (high - low), 360.0 - past)
            far += 2.0 * place.chroma * math.sin(math.radians(min(turn, 180.0)) / 2.0)
        return far


# Common practice, no source. A paint gets the first role of the list that it fits.
LOOKS: Mapping[PotRole, Look] = {
    "pale": Look(lightness=(PALE_LIGHTNESS, 100.0), chroma=PALE_CHROMA, lighter=True),
    "brown": Look(BROWN_LIGHTNESS, BROWN_CHROMA, BROWN_HUE),
    "dark": Look(lightness=(0.0, 25.0), chroma=(0.0, 8.0)),
    "warm": Look(chroma=(25.0, math.inf), side="warm"),
    "cold": Look(chroma=(12.0, math.inf), side="cold"),
}


@dataclass(frozen=True)
class Candidate:
    """One paint of a rack, as it stands in its pot.

    tint : where its tint with white stands, of a dark pot that has its role by that.
    """

    name: str
    mix: Mix
    lightness: float
    place: CirclePlace
    tint: CirclePlace | None = None

    @property
    def words(self) -> str:
        """The paint in numbers, such as "red-orange, L* 48, chroma 54"."""
        hue = "neutral" if self.place.side == "neutral" else self.place.hue
        words = f"{hue}, L* {self.lightness:.0f}, chroma {self.place.chroma:.0f}"
        if self.tint is not None:
            words += f"; in white {self.tint.hue}, chroma {self.tint.chroma:.0f}"
        return words


@dataclass(frozen=True)
class Cast:
    """The paints of a rack by the pot that they can be.

    by_role : role -> candidates in the order of the rack. Without an off-white, the pure whites
        stand in for it.
    off_white : whether the pale ones are off-whites.
    """

    by_role: Mapping[PotRole, tuple[Candidate, ...]]
    off_white: bool

    def role_of(self, name: str) -> PotRole | None:
        """The role that a paint has, or None."""
        for role, paints in self.by_role.items():
            if any(paint.name == name for paint in paints):
                return role
        return None


def cast_roles(rack: Rack, looks: Mapping[PotRole, Look] = LOOKS) -> Cast:
    """Sort the paints of a rack into roles.

    Metallic paints have none: flakes do not mix as pigments do. A dark pot that looks like nothing
    or like black is warm, cold or brown where its tint with white is: a strong blue or an umber may
    be so dark that its pot shows no colour.

    Parameters
    ----------
    rack : the paints.
    looks : what each role looks like.

    Raises
    ------
    CannotDo : no paint for the warm, the cold or the pale pot; all such roles at once, each with
        the paint that comes nearest.
    """
    plain = [candidate(rack, n) for n, paint in rack.paints.items() if paint.finish != "metallic"]
    sorted_in: dict[PotRole, list[Candidate]] = {role: [] for role in looks}
    for paint in plain:
        role = next((r for r, look in looks.items() if look.fits(paint)), None)
        if role in (None, "dark") and paint.lightness < DARK_LIGHTNESS:
            tinted = replace(paint, tint=place_on_circle(hue_tint_of(paint.mix).mix.lab))
            shown = next((r for r in _BY_TINT if looks[r].fits(_as_tint(tinted))), None)
            role, paint = (shown, tinted) if shown else (role, paint)
        if role is not None:
            sorted_in[role].append(paint)
    off_white = bool(sorted_in["pale"])
    if not off_white:
        white = replace(looks["pale"], chroma=(0.0, looks["pale"].chroma[1]))
        sorted_in["pale"] = [paint for paint in plain if white.fits(paint)]
    lacking = [role for role in NEEDED if not sorted_in[role]]
    if lacking:
        raise CannotDo.of(_lacking(rack, plain, lacking, looks))
    return Cast({role: tuple(paints) for role, paints in sorted_in.items()}, off_white)


def _as_tint(paint: Candidate) -> Candidate:
    """A dark pot standing where its tint stands."""
    return paint if paint.tint is None else replace(paint, place=paint.tint)


def candidate(rack: Rack, name: str) -> Candidate:
    """A paint with what the choice of a role looks at."""
    mix = rack.mix({name: 1})
    return Candidate(name, mix, float(mix.lab[0]), place_on_circle(mix.lab))


def looks_with(words: Sequence[str]) -> dict[PotRole, Look]:
    """The roles' looks, changed by words such as "brown.hue=40:85".

    Raises
    ------
    UsageError : a role or an axis is unknown, a range is none; all of it at once.
    """
    looks = dict(LOOKS)
    faults = []
    for word in words:
        found = _read_range(word)
        if isinstance(found, Fault):
            faults.append(found)
        else:
            role, axis, ends = found
            if axis == "lightness":
                looks[role] = replace(looks[role], lightness=ends)
            elif axis == "chroma":
                looks[role] = replace(looks[role], chroma=ends)
            else:
                looks[role] = replace(looks[role], hue=ends)
    if faults:
        raise UsageError.of(faults)
    return looks


def _read_range(word: str) -> tuple[PotRole, str, Range] | Fault:
    """Role, axis and range of one such word, or what is wrong with it."""
    key, _, value = word.partition("=")
    role, _, axis = key.strip().partition(".")
    where = f'command line, "{word}"'
    if role not in LOOKS:
        return Fault(f'there is no role "{role}"', where, choices_fix(role, LOOKS))
    if axis not in _AXES:
        return Fault(f'a role has no "{axis}"', where, choices_fix(axis, _AXES))
    try:
        low, high = (float(part) for part in value.split(":"))
    except ValueError:
        low, high = math.nan, math.nan
    least, most = _AXES[axis]
    if not (least <= low <= most and least <= high <= most and (low <= high or axis == "hue")):
        ends = f"{least:g} to {most:g}" if math.isfinite(most) else f"{least:g} up"
        fix = f"write LOW:HIGH, each from {ends}, such as {role}.{axis}=20:50"
        return Fault(f'"{value}" is no range of {axis}', where, fix)
    if axis == "hue" and high < low:
        high += 360.0
    return cast(PotRole, role), axis, (low, high)


def _outside(value: float, ends: Range) -> float:
    """How far a value is outside a range."""
    return max(ends[0] - value, value - ends[1], 0.0)


def _lacking(
    rack: Rack, paints: Sequence[Candidate], roles: Sequence[PotRole], looks: Mapping[PotRole, Look]
) -> list[Fault]:
    """What to say of roles that the rack has no paint for."""
    return [
        Fault(
            f"the rack has no paint for the {role} pot",
            rack.where,
            f"add {_in_words(role, looks[role])}{_nearest(paints, looks[role])}",
        )
        for role in roles
    ]


def _in_words(role: PotRole, look: Look) -> str:
    """What to look for in a shop."""
    if role == "pale":
        return f"an off-white of L* above {look.lightness[0]:.0f}"
    colours = "red, orange or yellow" if role == "warm" else "green, blue or violet"
    return f"a {colours} of chroma {look.chroma[0]:.0f} or more"


def _nearest(paints: Sequence[Candidate], look: Look) -> str:
    """The paint that comes nearest to a look, in words."""
    if not paints:
        return ""
    best = min(paints, key=look.off)
    if look.off(best) == math.inf:
        return ""
    return f'; "{best.name}" comes nearest ({best.words})'
