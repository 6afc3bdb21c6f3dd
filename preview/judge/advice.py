"""What would make a boundary read: which area to raise or lower, and by how much."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from preview.judge.geometry import mm_from_arcmin
from preview.judge.grades import DEMANDS, Grade, Scores, grades_of
from preview.judge.moved import Moved

Reaches = Callable[[Scores], bool]


@dataclass(frozen=True)
class Border:
    """The border of a part on its ground, as far as advice needs it.

    index : in the meeting's pairs. part, ground : areas.
    width_mm, width_arcmin : of the part.
    thin : too thin for its shape to be read; accent : and surely seen all the same.
    """

    index: int
    part: int
    ground: int
    width_mm: float
    width_arcmin: float
    thin: bool
    accent: bool


@dataclass(frozen=True)
class Change:
    """A change of a mid-tone: positive is lighter; `to` is the L* it arrives at.

    ramp : that the area wears; others : areas that wear it, too, and move with it.
    spoils : pairs that would no longer read.
    """

    name: str
    by: float
    to: float
    ramp: str = ""
    others: tuple[str, ...] = ()
    spoils: tuple[str, ...] = ()

    def __str__(self) -> str:
        verb = "raise" if self.by > 0 else "lower"
        shared = f'; ramp "{self.ramp}", also on {_and(self.others)}' if self.others else ""
        loss = f", though {_and(self.spoils)} would no longer read" if self.spoils else ""
        return (
            f"{verb} the {_owner(self.name)} mid-tone by about {abs(self.by):.0f} L* "
            f"(to {self.to:.0f}{shared}){loss}"
        )


def advise(moved: Moved, border: Border) -> str:
    """What would make a boundary readable, in words with numbers.

    Tries every whole step of L* for the ramp of either area, all its tones moving with its
    mid-tone on every area that wears it, and names the smallest that does without spoiling another
    pair; the other area's too when it is not much larger. A part too thin for its shape to be read
    is said to be, with what would make it an accent.

    Parameters
    ----------
    border : one that is not readable.
    """
    if border.thin:
        return _advise_thin(moved, border)
    changes = smallest_changes(moved, border, reads)
    if changes:
        return _sentence(_in_words(changes))
    names = moved.sight.meeting.area_names
    if moved.wearing(border.part)[border.ground]:
        ramp = moved.sight.colours.worn[border.part]
        return f'Both wear the ramp "{ramp}" and move with it: give one of them a ramp of its own.'
    return (
        f"No change of one mid-tone makes the {names[border.part]} read on the "
        f"{names[border.ground]}: move both apart."
    )


def reads(scores: Scores) -> bool:
    """Whether a pair's shape reads."""
    return bool(grades_of(scores)[0] >= Grade.READABLE)


def is_seen(scores: Scores) -> bool:
    """Whether a pair is seen as surely as a readable one, whatever its size."""
    return bool(scores.visibility[0] >= DEMANDS[Grade.READABLE].visibility)


def smallest_changes(moved: Moved, border: Border, reaches: Reaches) -> list[Change]:
    """For the ramp of each area the smallest change that suffices, smallest first.

    One that spoils no other pair goes before a smaller one that does; if any change of either
    area spoils none, those that do are left out. An area for which none within L* 0 to 100 does
    is left out.
    """
    found = [
        change
        for area in (border.part, border.ground)
        if (change := _smallest(moved, border, area, reaches)) is not None
    ]
    kind = [change for change in found if not change.spoils] or found
    return sorted(kind, key=lambda change: abs(change.by))


def _smallest(moved: Moved, border: Border, area: int, reaches: Reaches) -> Change | None:
    """The smallest change of the ramp of an area, a harmless one if there is one."""
    wearing = moved.wearing(area)
    if not wearing.any():
        return None
    colours, names = moved.sight.colours, moved.sight.meeting.area_names
    midtone = float(colours.midtone_lab[area, 0])
    after, spoiled = moved.scores(wearing, np.array([border.index])), moved.spoiled(wearing)
    harmful: Change | None = None
    for by in _steps(midtone):
        if not reaches(after(by)):
            continue
        spoils = spoiled(by)
        if spoils and harmful is not None:
            continue
        others = tuple(names[k] for k in np.flatnonzero(wearing) if k != area)
        ramp = (colours.worn[area] or "") if colours.worn else ""
        change = Change(names[area], by, midtone + by, ramp, others, spoils)
        if not spoils:
            return change
        harmful = change
    return harmful


def _steps(midtone: float) -> Iterator[float]:
    """Whole steps of L* up and down that leave the mid-tone within 0 to 100, small ones first."""
    for size in range(1, 101):
        for by in (float(size), -float(size)):
            if 0.0 <= midtone + by <= 100.0:
                yield by


def _advise_thin(moved: Moved, border: Border) -> str:
    """That no value helps a shape so thin, and what makes it an accent."""
    distance_m = moved.sight.conditions.distance_m
    needs_arcmin = DEMANDS[Grade.READABLE].size * moved.sight.eye.acuity_arcmin
    thin = (
        f"Too thin at {distance_m:g} m for its shape to read: {border.width_mm:.3g} mm "
        f"({border.width_arcmin:.1f} arc minutes), where it takes "
        f"{mm_from_arcmin(needs_arcmin, distance_m):.3g} mm; no change of value helps."
    )
    if border.accent:
        return f"{thin} It is seen as an accent."
    changes = smallest_changes(moved, border, is_seen)
    if not changes:
        ground = moved.sight.meeting.area_names[border.ground]
        return f"{thin} Nor can it become an accent on the {ground}."
    return f"{thin} To make it an accent, {_in_words(changes)}."


def _owner(name: str) -> str:
    """A name in the genitive."""
    plural = name.endswith("s") and not name.endswith("ss")
    return f"{name}'" if plural else f"{name}'s"


def _and(names: Sequence[str]) -> str:
    """Names in a row."""
    return " and ".join(", ".join(part) for part in (names[:-1], names[-1:]) if part)


def _in_words(changes: Sequence[Change]) -> str:
    """The smallest change, and the other one when it is less than twice as large."""
    chosen = [change for change in changes if abs(change.by) < 2.0 * abs(changes[0].by)]
    return ", or ".join(str(change) for change in chosen)


def _sentence(words: str) -> str:
    """With a capital letter and a full stop."""
    return f"{words[0].upper()}{words[1:]}."
