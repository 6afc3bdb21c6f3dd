"""What would make a boundary read: which area to raise or lower, and by how much."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.judge.eye.closed_form import Eye
from preview.judge.geometry import mm_from_arcmin
from preview.judge.grades import DEMANDS, Demand, Grade, share_after_blur
from preview.optics.cie1976_lab import lightness_from_y, y_from_lightness

Floats = NDArray[np.float64]

_REPRESENTATIVES = 15
_CHANGES = np.arange(1.0, 101.0)


@dataclass(frozen=True, eq=False)
class Boundary:
    """The border of a part on its ground, as far as advice needs it.

    part, ground : names. part_midtone, ground_midtone : L*.
    part_y, ground_y, weight : (stretches,) luminance factors that meet, and lengths.
    width_mm, width_arcmin, length_arcmin : of the part.
    mean_y, luminance, distance_m : of the sight.
    """

    part: str
    ground: str
    part_midtone: float
    ground_midtone: float
    part_y: Floats
    ground_y: Floats
    weight: Floats
    width_mm: float
    width_arcmin: float
    length_arcmin: float
    mean_y: float
    luminance: float
    distance_m: float


@dataclass(frozen=True)
class Change:
    """A change of a mid-tone: positive is lighter; `to` is the L* it arrives at."""

    name: str
    by: float
    to: float

    def __str__(self) -> str:
        verb = "raise" if self.by > 0 else "lower"
        plural = self.name.endswith("s") and not self.name.endswith("ss")
        owner = f"{self.name}'" if plural else f"{self.name}'s"
        return f"{verb} the {owner} mid-tone by about {abs(self.by):.0f} L* (to {self.to:.0f})"


def advise(boundary: Boundary, eye: Eye) -> str:
    """What would make a boundary readable, in words with numbers.

    Tries every whole step of L* for either area, its tones moving with its mid-tone, and names the
    smallest that does, the other area's too when it is not much larger. A part too thin for its
    shape to be read is said to be, with what would make it an accent.

    Parameters
    ----------
    boundary : one that is not readable.
    """
    demand = DEMANDS[Grade.READABLE]
    needs_arcmin = demand.size * eye.acuity_arcmin
    if boundary.width_arcmin < needs_arcmin:
        return _advise_thin(boundary, eye, needs_arcmin)
    changes = smallest_changes(boundary, eye, demand)
    if not changes:
        return (
            f"No change of one mid-tone makes the {boundary.part} read on the {boundary.ground}: "
            "move both apart."
        )
    return _sentence(_in_words(changes))


def _advise_thin(boundary: Boundary, eye: Eye, needs_arcmin: float) -> str:
    """That no value helps a shape so thin, and what makes it an accent."""
    thin = (
        f"Too thin at {boundary.distance_m:g} m for its shape to read: {boundary.width_mm:.3g} mm "
        f"({boundary.width_arcmin:.1f} arc minutes), where it takes "
        f"{mm_from_arcmin(needs_arcmin, boundary.distance_m):.3g} mm; no change of value helps."
    )
    accent = Demand(DEMANDS[Grade.READABLE].visibility, 0.0, 0.0)
    unchanged = np.zeros(1)
    if _reaches(boundary, eye, accent, unchanged, unchanged)[0]:
        return f"{thin} It is seen as an accent."
    changes = smallest_changes(boundary, eye, accent)
    if not changes:
        return f"{thin} Nor can it become an accent on the {boundary.ground}."
    return f"{thin} To make it an accent, {_in_words(changes)}."


def smallest_changes(boundary: Boundary, eye: Eye, demand: Demand) -> list[Change]:
    """For each area the smallest change that meets the demand, smallest first.

    An area for which none within L* 0 to 100 does is left out.
    """
    still = np.zeros(len(_CHANGES))
    found = []
    for name, midtone, moves_part in (
        (boundary.part, boundary.part_midtone, True),
        (boundary.ground, boundary.ground_midtone, False),
    ):
        options: list[Change] = []
        for sign in (1.0, -1.0):
            by = sign * _CHANGES
            part, ground = (by, still) if moves_part else (still, by)
            works = _reaches(boundary, eye, demand, part, ground)
            works &= (midtone + by >= 0.0) & (midtone + by <= 100.0)
            options.extend(Change(name, float(d), midtone + float(d)) for d in by[works][:1])
        found.extend(sorted(options, key=lambda change: abs(change.by))[:1])
    return sorted(found, key=lambda change: abs(change.by))


def _reaches(
    boundary: Boundary, eye: Eye, demand: Demand, part_by: Floats, ground_by: Floats
) -> NDArray[np.bool_]:
    """Whether at least half of the border meets the demand after each change of L*."""
    part, ground = _representatives(boundary)
    part_y = _moved(part, part_by)
    ground_y = _moved(ground, ground_by)
    width, length = np.array(boundary.width_arcmin), np.array(boundary.length_arcmin)
    sensitivity = eye.sensitivity(width, length, boundary.luminance)
    against = np.maximum(ground_y, boundary.mean_y)
    visibility = np.abs(part_y - ground_y) / against * sensitivity
    kept = share_after_blur(width, eye.blur_arcmin(boundary.luminance))
    after = ground_y + (part_y - ground_y) * kept
    step = np.abs(lightness_from_y(after) - lightness_from_y(ground_y))
    return np.asarray(
        (np.median(visibility, axis=1) >= demand.visibility)
        & (np.median(step, axis=1) >= demand.step)
    )


def _representatives(boundary: Boundary) -> tuple[Floats, Floats]:
    """L* of part and ground at equal steps along the border, sorted by their difference."""
    part, ground = lightness_from_y(boundary.part_y), lightness_from_y(boundary.ground_y)
    order = np.argsort(part - ground, kind="stable")
    along = np.cumsum(boundary.weight[order])
    at = (np.arange(_REPRESENTATIVES) + 0.5) / _REPRESENTATIVES * along[-1]
    chosen = order[np.minimum(np.searchsorted(along, at), len(order) - 1)]
    return part[chosen], ground[chosen]


def _moved(lightness: Floats, by: Floats) -> Floats:
    """Y after each change of L*, (changes, tones)."""
    return y_from_lightness(np.clip(lightness + by[:, None], 0.0, 100.0))


def _in_words(changes: list[Change]) -> str:
    """The smallest change, and the other one when it is less than twice as large."""
    chosen = [change for change in changes if abs(change.by) < 2.0 * abs(changes[0].by)]
    return ", or ".join(str(change) for change in chosen)


def _sentence(words: str) -> str:
    """With a capital letter and a full stop."""
    return f"{words[0].upper()}{words[1:]}."
