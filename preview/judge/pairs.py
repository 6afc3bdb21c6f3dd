"""One pair of neighbours: its figures over the whole visible border, its grade, its advice."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.judge.advice import Border, advise
from preview.judge.contrast import Contrast, Contrasts
from preview.judge.geometry import arcmin_from_mm
from preview.judge.grades import DEMANDS, Grade, Scores, grades_of, is_accent, lifted_by_hue
from preview.judge.grouping import weighted_medians
from preview.judge.hue import TOLD_APART, Hues, told_by_hue
from preview.judge.kinds import Kind
from preview.judge.meeting import Meeting
from preview.judge.moved import Moved
from preview.judge.sight import Sight
from preview.judge.verdict import Lengths, Pair
from preview.judge.woven import Woven
from preview.optics.cie1976_lab import y_from_lightness
from preview.shape.threads import in_threads

Floats = NDArray[np.float64]

# Red from green shows well from 10 arc minutes on: by the published filters (Zhang and Wandell).
_SMALL_FOR_HUE = 10.0


def pairs_of(sight: Sight, woven: Woven, advice: bool = True) -> tuple[Pair, ...]:
    """Every pair that meets in sight, the worst first, minor ones last."""
    stretches = sight.meeting.stretches
    order = np.argsort(stretches.pair, kind="stable")
    indices, starts = np.unique(stretches.pair[order], return_index=True)
    rows = np.split(order, starts[1:]) if len(indices) else []
    moved, minor = Moved(sight, woven), sight.minor

    def pair(named: tuple[int, NDArray[np.int64]]) -> Pair:
        index, own = named
        return _pair(moved, index, own, bool(minor[index]), advice)

    found = in_threads(pair, list(zip(indices.tolist(), rows, strict=True)))
    return tuple(sorted(found, key=_worst_first))


def _worst_first(pair: Pair) -> tuple[bool, int, float, str, str]:
    """Pairs that count first; the lowest grade, then the longest border, first."""
    return (pair.minor, pair.grade, -pair.lengths.visible_mm, pair.part, pair.ground)


def _pair(moved: Moved, index: int, rows: NDArray[np.int64], minor: bool, advice: bool) -> Pair:
    """One pair from its stretches."""
    sight = moved.sight
    part, ground = (int(k) for k in sight.meeting.pairs[index][sight.bars.sides[index]])
    lengths = _lengths(sight.meeting, index)
    width_mm = _median(sight, sight.bars.width_mm, rows)
    width_arcmin = arcmin_from_mm(width_mm, sight.conditions.distance_m)
    scores, hues = _median_scores(sight, rows), _median_hues(sight, rows)
    grade = Grade(int(lifted_by_hue(grades_of(scores), hues, scores.size)[0]))
    visibility, size = float(scores.visibility[0]), float(scores.size[0])
    accent = is_accent(visibility, size)
    thin = size < DEMANDS[Grade.READABLE].size
    border = Border(index, part, ground, width_mm, width_arcmin, thin, accent)
    weight = sight.bars.weight[rows]
    names = sight.meeting.area_names
    helps = advice and not minor and grade < Grade.READABLE
    reads = grades_of(_scores_at(sight.scores, rows)) >= Grade.READABLE
    return Pair(
        part=names[part],
        ground=names[ground],
        lengths=lengths,
        width_mm=width_mm,
        width_arcmin=width_arcmin,
        midtones=_midtones(sight, part, ground),
        meeting=_median_contrast(sight, rows),
        visibility=visibility,
        size=size,
        step=float(scores.step[0]),
        grade=grade,
        readable_share=float(weight[reads].sum() / weight.sum()),
        hue=float(hues.left[0]),
        noticed=float(hues.noticed[0]),
        blurred_ciede2000=_median(sight, sight.difference_left, rows),
        hue_note=_hue_note(grade, scores, hues, _median(sight, sight.hue_close_by, rows)),
        accent=accent,
        minor=minor,
        advice=advise(moved, border) if helps else "",
    )


def _median(sight: Sight, values: Floats, rows: NDArray[np.int64]) -> float:
    """Over some stretches, by their length."""
    return float(
        weighted_medians(values[rows], sight.bars.weight[rows], np.zeros(len(rows), np.int64), 1)[0]
    )


def _scores_at(scores: Scores, rows: NDArray[np.int64]) -> Scores:
    """The tests of some stretches."""
    return Scores(scores.visibility[rows], scores.size[rows], scores.step[rows], scores.ratio[rows])


def _median_scores(sight: Sight, rows: NDArray[np.int64]) -> Scores:
    """Each test's median over the stretches, one value each."""
    scores = sight.scores
    return Scores(
        *(
            np.array([_median(sight, values, rows)])
            for values in (scores.visibility, scores.size, scores.step, scores.ratio)
        )
    )


def _median_hues(sight: Sight, rows: NDArray[np.int64]) -> Hues:
    """What hue says, each median over the stretches, one value each."""
    return Hues(
        left=np.array([_median(sight, sight.hues.left, rows)]),
        noticed=np.array([_median(sight, sight.hues.noticed, rows)]),
    )


def _hue_note(grade: Grade, scores: Scores, hues: Hues, close_by: float) -> str:
    """What hue, of so many CIEDE2000 without blur, does for a pair that lightness leaves short."""
    if grade >= Grade.READABLE or scores.step[0] >= DEMANDS[Grade.READABLE].step:
        return ""
    if told_by_hue(hues, scores.size)[0]:
        return (
            "Told apart by hue, hardly by value: the border goes in a squint and to eyes that "
            "miss these colours."
        )
    if close_by >= TOLD_APART > hues.left[0] and scores.size[0] < _SMALL_FOR_HUE:
        return "They differ in hue, but the part is too small for its hue to be seen."
    return ""


def _median_contrast(sight: Sight, rows: NDArray[np.int64]) -> Contrast:
    """Each contrast's median over the stretches."""
    found = sight.contrasts
    return Contrast(
        *(
            _median(sight, values, rows)
            for values in (found.lightness_step, found.michelson, found.weber, found.ciede2000)
        )
    )


def _midtones(sight: Sight, part: int, ground: int) -> Contrast:
    """Contrast between the mid-tones of two areas."""
    lab = np.asarray(sight.colours.midtone_lab, np.float64)[[part, ground]]
    y = y_from_lightness(lab[:, 0])
    found = Contrasts.between(y[:1], y[1:], lab[:1], lab[1:], sight.mean_y)
    return Contrast(
        float(found.lightness_step[0]),
        float(found.michelson[0]),
        float(found.weber[0]),
        float(found.ciede2000[0]),
    )


def _lengths(meeting: Meeting, index: int) -> Lengths:
    """How far a pair meets, by kind."""
    visible = meeting.visible_mm[index]
    mean = (visible * meeting.view_weight).mean(axis=1)
    return Lengths(
        edge_mm=float(meeting.edge_mm[index]),
        contact_mm=float(meeting.contact_mm[index]),
        visible_edge_mm=float(mean[Kind.EDGE]),
        visible_contact_mm=float(mean[Kind.CONTACT]),
        visible_silhouette_mm=float(mean[Kind.SILHOUETTE]),
        by_view_mm=tuple(float(length) for length in visible.sum(axis=0)),
    )
