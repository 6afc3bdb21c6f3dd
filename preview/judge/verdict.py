"""What the judge says: each pair of neighbours with its grade, and the whole in brief."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from preview.judge.conditions import Conditions
from preview.judge.contrast import Contrast
from preview.judge.grades import Grade

MINOR_ARCMIN = 5.0
"""Borders nowhere longer in sight than this, the height of a letter at acuity 1.0, are minor."""


@dataclass(frozen=True)
class Lengths:
    """How far two areas meet, mm, kept apart by how they meet.

    edge_mm : of the mesh edges they share. contact_mm : along which shells touch or pass through
    each other. The visible lengths are means over all views by weight, foreshortened as seen: at
    shared edges, in contact, and where one is only seen before the other. by_view_mm : of all
    kinds, in each view.
    """

    edge_mm: float
    contact_mm: float
    visible_edge_mm: float
    visible_contact_mm: float
    visible_silhouette_mm: float
    by_view_mm: tuple[float, ...]

    @property
    def longest_view_mm(self) -> float:
        """In the view that shows most of it."""
        return max(self.by_view_mm)

    @property
    def visible_mm(self) -> float:
        """Of all kinds together, mean over all views."""
        return self.visible_edge_mm + self.visible_contact_mm + self.visible_silhouette_mm

    @property
    def kind(self) -> str:
        """How they meet, by the closest of the ways: edge, contact or silhouette."""
        if self.edge_mm > 0.0:
            return "edge"
        return "contact" if self.contact_mm > 0.0 else "silhouette"


@dataclass(frozen=True)
class Pair:
    """Two neighbouring areas.

    part, ground : the thinner and the wider of the two, where they meet.
    width_mm, width_arcmin : of the part, median over the visible border.
    midtones : contrast of the two mid-tones; meeting : of the tones that meet, median over the
        visible border.
    visibility, size, step : the three tests, medians over the visible border, to one decimal or
        finer; grade follows from them.
    readable_share : of the visible border, in [0, 1], that reads readable or better.
    hue : CIEDE2000 of hue and chroma alone, after the eye's blur; noticed : the same difference
        before the blur, in units of what half of a crowd notices at that size; blurred_ciede2000 :
        CIEDE2000 of value and hue together after the blur. hue_note says in words what hue does
        where lightness does not suffice, else empty.
    accent : surely seen, but too thin for its shape to be read.
    minor : the border is nowhere longer in sight than a letter at acuity 1.0 is tall (5 arc
        minutes) from the nearest of the distances asked for, the one that borders were measured
        for; such pairs stand last and count in no summary.
    advice : what would help; empty when it reads, is minor, or nobody asked.
    """

    part: str
    ground: str
    lengths: Lengths
    width_mm: float
    width_arcmin: float
    midtones: Contrast
    meeting: Contrast
    visibility: float
    size: float
    step: float
    grade: Grade
    readable_share: float
    hue: float
    noticed: float
    blurred_ciede2000: float
    hue_note: str
    accent: bool
    minor: bool
    advice: str

    @property
    def name(self) -> str:
        """Such as "strap on coat"."""
        return f"{self.part} on {self.ground}"

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            **asdict(self),
            "grade": self.grade.word,
            "lengths": {
                **asdict(self.lengths),
                "longest_view_mm": self.lengths.longest_view_mm,
                "kind": self.lengths.kind,
            },
        }


@dataclass(frozen=True)
class Verdict:
    """All pairs, the worst first.

    readable_share : of the visible border of all pairs that count, in [0, 1], that reads readable
        or better; 0 when all pairs are minor, None when no two areas meet.
    luminance : cd/m2 to which the eye is taken as adapted.
    notes : what the figures can't show, or that there is nothing to compare.
    caveats : what the method leaves out.
    """

    conditions: Conditions
    luminance: float
    pairs: tuple[Pair, ...]
    readable_share: float | None
    summary: str
    notes: tuple[str, ...]
    caveats: tuple[str, ...]

    @property
    def counted(self) -> tuple[Pair, ...]:
        """The pairs that are not minor."""
        return tuple(pair for pair in self.pairs if not pair.minor)

    @property
    def worst(self) -> Grade | None:
        """The lowest grade among pairs that count; None when there is none."""
        return min((pair.grade for pair in self.counted), default=None)

    def falls_short_of(self, grade: Grade) -> bool:
        """Whether a pair that counts is graded lower, or areas meet and none of them counts."""
        nothing_reads = bool(self.pairs) and not self.counted and grade > Grade.LOST
        return nothing_reads or bool(self.below(grade))

    def below(self, grade: Grade) -> tuple[Pair, ...]:
        """The pairs that count and are graded lower."""
        return tuple(p for p in self.pairs if not p.minor and p.grade < grade)

    def pair_of(self, part: str, ground: str) -> Pair | None:
        """The pair of two areas, whichever is the thinner here; None when they don't meet."""
        both = {part, ground}
        return next((pair for pair in self.pairs if {pair.part, pair.ground} == both), None)

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "conditions": {
                **asdict(self.conditions),
                "luminance_cd_m2": self.luminance,
                "light": "paint only, matt",
            },
            "summary": self.summary,
            "worst": None if self.worst is None else self.worst.word,
            "readable_share": self.readable_share,
            "pairs": [pair.as_dict() for pair in self.pairs],
            "notes": list(self.notes),
            "caveats": list(self.caveats),
        }
