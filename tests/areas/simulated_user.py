"""A painter who knows the truth: types a number or sets a mark where most is still wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.agreement import share_right
from preview.areas.analysis.analysis import Analysis
from preview.areas.analysis.contacts import TOUCH, contacts_of
from preview.areas.analysis.mirror import other_side
from preview.areas.analysis.regions import depth_mm, proposed
from preview.areas.analysis.surface import Surface, surface_of
from preview.areas.marks.apply import Marked, MarkedFigure
from preview.areas.marks.model import BELT, DISC, HEIGHTS, POINT, STROKE, Mark, Marks, Spot
from preview.areas.marks.seeds import Seed
from preview.areas.sculpt import Sculpt
from preview.errors import MarksFault
from preview.shape.neighbours import joined

GOALS = (0.90, 0.95, 0.97)
# In widths of the piece, each about a quarter larger than the last.
_SIZES = (0.5, 0.63, 0.8, 1.0, 1.25, 1.6, 2.0, 2.5)
_BELTS = (0.25, 0.5, 0.75, 0.95)


@dataclass(frozen=True, eq=False)
class Session:
    """What the painter did.

    shares : after each action, how much of the visible surface was right; first without any.
    marks : all that was typed and marked in the end.
    """

    shares: tuple[float, ...]
    marks: Marks

    def actions_to(self, share: float) -> int | None:
        """How many actions it took; None when it was not reached."""
        return next((k for k, got in enumerate(self.shares) if got >= share), None)


@dataclass(frozen=True, eq=False)
class _Wrong:
    """A piece of one true area that has another label, connected or of shells that touch.

    inside : (faces,) bool.
    face : in its middle.
    depth : (faces,) mm, from each face of the piece to its border, along the surface.
    """

    inside: NDArray[np.bool_]
    face: int
    depth: NDArray[np.float64]

    @property
    def wide_mm(self) -> float:
        """How wide the piece is in its middle."""
        return 2 * float(self.depth[self.face])


def paint_by_marks(
    sculpt: Sculpt,
    truth: NDArray[np.int32],
    names: Sequence[str],
    count: int,
    most: int,
    goal: float = GOALS[-1],
    shapes: bool = False,
    mirror: bool | None = None,
) -> Session:
    """Name numbers and set marks until a share of the surface is right.

    Each action looks at the largest connected piece that is wrong, at its middle: the middle is
    marked, or a line along the piece through it, or the number there is typed if it is not named
    yet, nothing grows from its region's middle, and the region is mostly of the piece's true area;
    whichever makes most right. A mark or number that grows from that very face is taken back within
    the action. Where shells of the piece touch they are one piece, since nobody sees that locks of
    hair are shells; where numbers and marks count on both sides, so do pieces. Each number and each
    mark is one action.

    Parameters
    ----------
    sculpt : the figure as one solid.
    truth : (faces,) int, index into names.
    count : how many regions the proposal has; 0 for marks alone.
    most : actions after which the painter gives up.
    mirror : whether numbers and marks count on both sides; None leaves it as a proposal would.
    shapes : the painter types the number in the middle of the largest error wherever that may be
        typed, whatever it does to the rest, and else takes what makes most right of what a marks
        file offers: a growing mark, a disc, a stroke along the piece and belts around it in the
        width that fits best, its band of heights or the lower or upper half of that. Without a
        mirrored figure all but the bands also with their mirror image, as one mark.
    """
    found = Analysis(sculpt.vertices, sculpt.faces).with_both_sides(0.0, mirror)
    marks = Marks(path=Path("simulated.toml"), count=count, mirror=found.both_sides)
    figure = MarkedFigure(sculpt, marks)
    own = surface_of(sculpt.vertices, sculpt.faces, figure.analysis.metric)
    beside, across = _beside(own), _across(own, figure.analysis)
    size = np.where(sculpt.exposed, sculpt.mm2, 0.0).astype(np.float64)
    proposal = proposed(figure.analysis, max(count, 1), exposed=sculpt.exposed)
    regions, of_face = proposal.regions if count else (), proposal.of_face
    marks = replace(marks, regions={r.name: Spot(r.at, r.normal) for r in regions})
    majority = _majority(of_face[figure.analysis.standing_in], truth, size, len(regions))
    got, shares = np.full(len(truth), -1), [0.0]
    marked: Marked | None = None
    while len(shares) <= most and shares[-1] < goal:
        wrong = _worst(own, beside, across, got, truth, size)
        name, standing = names[truth[wrong.face]], int(figure.analysis.standing_in[wrong.face])
        region = int(of_face[standing])
        free = bool(count) and not _named(marks, regions[region].name)
        free = free and all(seed.face != regions[region].face for seed in _seeds(marked))
        choices: list[Marks] = []
        if free and majority[region] == truth[wrong.face]:
            numbers = (*marks.areas.get(name, ()), regions[region].name)
            choices.append(replace(marks, areas={**marks.areas, name: numbers}))
        if not (shapes and choices):
            cleared = _without_what_is_there(marks, marked, standing)
            point = _mark(figure, wrong.face, name)
            drawn = [point, _line(figure, own, wrong, point)]
            if shapes and wrong.wide_mm > 0:
                drawn += _ways(figure, own, wrong, point)
            choices += [replace(cleared, marks=(*cleared.marks, mark)) for mark in drawn]
        tried = []
        for choice in choices:
            try:
                after = figure.apply(choice, marked)
            except MarksFault:
                continue
            got = np.array([names.index(n) if n in names else -1 for n in after.sculpt.area_names])[
                after.sculpt.area
            ]
            tried.append((share_right(got, truth, size), choice, after, got))
        share, marks, marked, got = max(tried, key=lambda one: one[0])
        shares.append(share)
    return Session(tuple(shares), marks)


def pieces_to(
    sculpt: Sculpt, truth: NDArray[np.int32], mirror: bool | None = None
) -> tuple[int, ...]:
    """How many connected pieces of true areas, the largest first, make each goal's share.

    So many actions a painter needs who gets one whole piece with each, and no piece for nothing.
    Parameters and what counts as one piece are those of `paint_by_marks`.
    """
    found = Analysis(sculpt.vertices, sculpt.faces).with_both_sides(0.0, mirror)
    own = surface_of(sculpt.vertices, sculpt.faces, found.metric)
    pairs = np.concatenate((np.stack(_beside(own), axis=1), _across(own, found)))
    left, right = pairs[truth[pairs[:, 0]] == truth[pairs[:, 1]]].T
    count, piece = joined(len(truth), left, right)
    size = np.bincount(piece, np.where(sculpt.exposed, sculpt.mm2, 0.0), count)
    share = np.cumsum(np.sort(size)[::-1]) / size.sum()
    return tuple(int(np.searchsorted(share, goal)) + 1 for goal in GOALS)


def _ways(figure: MarkedFigure, own: Surface, wrong: _Wrong, point: Mark) -> list[Mark]:
    """What a painter may try on a piece besides a growing mark."""
    height = own.centre[:, 2] - float(figure.vertices[:, 2].min())
    low, half, high = np.percentile(height[wrong.inside], (1, 50, 99)) + np.array((-0.05, 0, 0.05))
    wide = wrong.wide_mm
    line = _line(figure, own, wrong, point).spots
    drawn = [replace(point, kind=DISC, size=k * wide) for k in _SIZES]
    drawn += [replace(point, kind=STROKE, size=k * wide, spots=line) for k in _SIZES]
    bands = [
        replace(point, kind=HEIGHTS, low=float(a), high=float(b))
        for a, b in ((low, high), (low, half), (half, high))
    ]
    drawn += _belts(figure, own, wrong, point)
    # Where the file counts marks on both sides, their images are there already.
    images = [] if figure.analysis.both_sides else [point, *drawn]
    return [*drawn, *bands, *(replace(mark, mirror=True) for mark in images)]


def _line(figure: MarkedFigure, own: Surface, wrong: _Wrong, point: Mark) -> Mark:
    """A mark that grows from a line along a piece, through its middle."""
    start, end = (_mark(figure, face, "").spots[0] for face in _ends(own, wrong))
    return replace(point, spots=(start, *point.spots, end))


def _ends(own: Surface, wrong: _Wrong) -> tuple[int, int]:
    """The faces at both ends of a piece."""
    which = np.flatnonzero(wrong.inside & (own.mm2 > 0))
    middle = own.centre[which] - own.centre[which].mean(axis=0)
    along = middle @ np.linalg.svd(middle.T @ middle)[0][:, 0]
    return int(which[np.argmin(along)]), int(which[np.argmax(along)])


def _belts(figure: MarkedFigure, own: Surface, wrong: _Wrong, point: Mark) -> list[Mark]:
    """Belts through three places far apart in a piece, in four widths up to its own."""
    deep = np.flatnonzero(wrong.inside & (wrong.depth >= 0.25 * wrong.wide_mm))
    away = own.centre - own.centre[wrong.face]
    second = int(deep[np.argmax(np.linalg.norm(away[deep], axis=1))])
    beside = np.cross(away, away[second])
    third = int(deep[np.argmax(np.linalg.norm(beside[deep], axis=1))])
    long = float(np.linalg.norm(beside[third]))
    if not long:
        return []
    off = np.abs(away[wrong.inside] @ beside[third]) / long
    spots = tuple(_mark(figure, face, "").spots[0] for face in (wrong.face, second, third))
    return [
        replace(point, kind=BELT, size=float(2 * half + 0.02), spots=spots)
        for half in np.quantile(off, _BELTS)
    ]


def _mark(figure: MarkedFigure, face: int, name: str) -> Mark:
    """A mark at the middle of a face."""
    at = figure.vertices[figure.sculpt.faces[face]].mean(axis=0)
    normal = figure.sculpt.normal[face]
    spot = Spot(
        (float(at[0]), float(at[1]), float(at[2])),
        (float(normal[0]), float(normal[1]), float(normal[2])),
    )
    return Mark(name, POINT, "simulated", (spot,))


def _seeds(marked: Marked | None) -> tuple[Seed, ...]:
    """Where areas grow from so far."""
    return marked.seeds if marked else ()


def _without_what_is_there(marks: Marks, marked: Marked | None, face: int) -> Marks:
    """The marks without the mark or number that grows from this very face of the surface."""
    for seed in _seeds(marked):
        if seed.face != face:
            continue
        kept = tuple(m for m in marks.marks if m.spots[0].at != seed.at)
        areas = {
            area: tuple(n for n in numbers if not seed.where.endswith(f", {n}"))
            if area == seed.area
            else numbers
            for area, numbers in marks.areas.items()
        }
        marks = replace(marks, marks=kept, areas=areas)
    return marks


def _named(marks: Marks, number: str) -> bool:
    """Whether a number has a name already."""
    return any(number in numbers for numbers in marks.areas.values())


def _majority(
    regions: NDArray[np.int32], truth: NDArray[np.int32], size: NDArray[np.float64], count: int
) -> NDArray[np.int64]:
    """For each region the true area that most of it is."""
    if not count:
        return np.zeros(0, np.int64)
    wide = int(truth.max()) + 1
    table = np.bincount(regions * wide + truth, size, count * wide).reshape(count, wide)
    return np.argmax(table, axis=1)


def _beside(surface: Surface) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
    """Faces that share an edge or touch, as two columns."""
    touching = contacts_of(surface)
    return (
        np.concatenate((surface.left, touching.one)),
        np.concatenate((surface.right, touching.other)),
    )


def _across(surface: Surface, analysis: Analysis) -> NDArray[np.int32]:
    """(pairs, 2) faces and their images beyond the plane, where both sides go by one number."""
    if not analysis.both_sides:
        return np.zeros((0, 2), np.int32)
    image = other_side(surface, 0.0, TOUCH / analysis.metric.scale)
    faces = np.flatnonzero(image >= 0).astype(np.int32)
    return np.stack((faces, image[faces]), axis=1)


def _worst(
    surface: Surface,
    beside: tuple[NDArray[np.int32], NDArray[np.int32]],
    across: NDArray[np.int32],
    got: NDArray[np.int_],
    truth: NDArray[np.int32],
    size: NDArray[np.float64],
) -> _Wrong:
    """The largest connected piece of one true area that is wrong, its image counted with it."""
    wrong = np.where(got != truth, truth, -1)
    left, right = beside
    same = (wrong[left] == wrong[right]) & (wrong[left] >= 0)
    count, piece = joined(len(wrong), left[same], right[same])
    weight = np.bincount(piece, np.where(wrong >= 0, size, 0.0), count)
    here, there = across.T
    same = (wrong[here] == wrong[there]) & (wrong[here] >= 0)
    groups, group = joined(count, piece[here[same]], piece[there[same]])
    heaviest = int(np.argmax(np.bincount(group, weight, groups)))
    inside = piece == int(np.argmax(np.where(group == heaviest, weight, -1.0)))
    depth = np.where(inside, depth_mm(surface, inside.astype(np.int32)), -1.0)
    # Nobody can point at what nobody sees.
    return _Wrong(inside, int(np.argmax(np.where(size > 0, depth, -1.0))), depth)
