"""In plain words: the whole verdict in a sentence, and what its figures can't show."""

from __future__ import annotations

import numpy as np

from preview.judge.conditions import Conditions
from preview.judge.eye.closed_form import LUMINANCE_RANGE
from preview.judge.geometry import (
    PIXELS_PER_DEGREE,
    mm_per_pixel,
    pixels_per_degree,
)
from preview.judge.grades import Grade
from preview.judge.meeting import Meeting
from preview.judge.verdict import MINOR_ARCMIN, Pair


def summary_of(pairs: tuple[Pair, ...], share: float | None, conditions: Conditions) -> str:
    """One or two sentences on the whole figure.

    Parameters
    ----------
    pairs : the worst first.
    share : of the visible border that reads, in [0, 1]; None when no areas meet in sight.
    """
    if share is None:
        return "No two areas meet in sight, so there is no border to judge."
    count = [pair for pair in pairs if not pair.minor]
    if not count:
        return (
            f"Areas meet, but nowhere longer in sight than {MINOR_ARCMIN:g} arc minutes from "
            f"{conditions.distance_m:g} m: nothing reads."
        )
    fail = [pair for pair in count if pair.grade < Grade.READABLE]
    whole = (
        f"At {conditions.name}, {100.0 * share:.0f} % of the border between areas reads; "
        f"{len(count) - len(fail)} of {len(count)} pairs are readable or better."
    )
    if not fail:
        return whole
    return f"{whole} The weakest: {fail[0].name}, {fail[0].grade.word}."


def notes_on(meeting: Meeting, conditions: Conditions, luminance: float) -> tuple[str, ...]:
    """What the reader should know beside the figures.

    Parameters
    ----------
    meeting : the measured neighbours.
    luminance : cd/m2 to which the eye is adapted.
    """
    return (
        *_area_notes(meeting, conditions),
        *_pair_notes(meeting),
        *_range_notes(meeting, conditions, luminance),
    )


def _area_notes(meeting: Meeting, conditions: Conditions) -> list[str]:
    """Areas that nobody sees or resolves, or that stand alone."""
    notes = []
    if len(meeting.area_names) == 1:
        notes.append(
            f"The figure is a single area ({meeting.area_names[0]}): there are no neighbours to "
            "tell apart. Mark areas on it first."
        )
    pixel = mm_per_pixel(conditions.distance_m)
    for name, widths in zip(meeting.area_names, meeting.part_width_mm, strict=True):
        seen = widths[np.isfinite(widths)]
        if not len(seen):
            notes.append(
                f"{name}: in none of the {len(widths)} views, hidden or smaller than their samples "
                f"of {meeting.sample_mm:.2g} mm; not judged."
            )
        elif seen.max() < pixel:
            notes.append(
                f"{name}: nowhere wider than {seen.max():.2g} mm, thinner than half an arc minute "
                f"({pixel:.2g} mm) at {conditions.distance_m:g} m."
            )
    return notes


def _pair_notes(meeting: Meeting) -> list[str]:
    """Edges that two areas share where no view sees them, though it sees both areas."""
    seen = np.asarray(np.isfinite(meeting.part_width_mm).any(axis=1))
    unseen = (meeting.edge_mm > 0.0) & ~meeting.visible_mm.any(axis=(1, 2))
    unseen &= seen[meeting.pairs].all(axis=1)
    return [
        f"{meeting.area_names[a]} and {meeting.area_names[b]} share {length:.1f} mm of edge that "
        "no view shows; not judged."
        for (a, b), length in zip(meeting.pairs[unseen], meeting.edge_mm[unseen], strict=True)
    ]


def _range_notes(meeting: Meeting, conditions: Conditions, luminance: float) -> list[str]:
    """Where the conditions leave what the method was fitted to or measured for."""
    notes = []
    fine = pixels_per_degree(meeting.sample_mm, conditions.distance_m)
    if fine < 0.999 * PIXELS_PER_DEGREE:
        notes.append(
            f"Measured at {fine:.0f} samples per degree, coarser than the "
            f"{PIXELS_PER_DEGREE:.0f} that {conditions.distance_m:g} m asks for."
        )
    low, high = LUMINANCE_RANGE
    if not low <= luminance <= high:
        notes.append(
            f"The figure's {luminance:.2g} cd/m2 lie outside the {low:g} to {high:g} that the "
            "thresholds were fitted to; the nearer end was used."
        )
    return notes
