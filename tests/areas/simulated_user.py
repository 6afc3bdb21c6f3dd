"""A painter who knows the truth: types a number or sets a mark where most is still wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from operator import attrgetter
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from preview.areas.analysis.agreement import share_right
from preview.areas.analysis.analysis import Analysis
from preview.areas.analysis.contacts import TOUCH, contacts_of
from preview.areas.analysis.mirror import other_side
from preview.areas.analysis.regions import depth_mm, proposed
from preview.areas.analysis.surface import Surface, surface_of
from preview.areas.marks.apply import Marked, MarkedFigure
from preview.areas.marks.model import (
    BELT,
    DISC,
    HEIGHTS,
    OUTLINE,
    POINT,
    STROKE,
    Mark,
    Marks,
    Spot,
)
from preview.areas.marks.seeds import Seed
from preview.areas.sculpt import Sculpt
from preview.errors import MarksFault
from preview.shape.neighbours import joined

GOALS = (0.90, 0.95, 0.97)
# In widths of the piece, each about a quarter larger than the last.
_SIZES = (0.5, 0.63, 0.8, 1.0, 1.25, 1.6, 2.0, 2.5)
_BELTS = (0.25, 0.5, 0.75, 0.95)
# How many corners an outline has at most, and how large the picture is that it is drawn on.
_CORNERS = (5, 8)
_PIXELS = 96
_share = attrgetter("share")


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
    the action, and so is a shape on it where that makes more right; to take one back and do nothing
    else is an action, too. Where shells of the piece touch they are one piece, since nobody sees that locks of
    hair are shells; where numbers and marks count on both sides, so do pieces. Each number and each
    mark is one action.

    Parameters
    ----------
    sculpt : the figure as one solid.
    truth : (faces,) int, index into names.
    count : how many regions the proposal has; 0 for marks alone.
    most : actions after which the painter gives up.
    shapes : the painter takes what makes most right of what a marks file offers: a number, a
        growing mark, a disc, a stroke along the piece and belts around it in the width that fits
        best, an outline of a few corners, its band of heights or the lower or upper half of that.
        Without a mirrored figure all but the bands also with their mirror image, as one mark.
        Where a number would make less right, the painter thinks one action further: a number may
        first take what the next one gives back.
    mirror : whether numbers and marks count on both sides; None leaves it as a proposal would.
    """
    painter = _Painter(sculpt, truth, names, count, shapes, mirror)
    state = painter.begin()
    shares = [0.0]
    while len(shares) <= most and shares[-1] < goal:
        state = painter.best(state)
        shares.append(state.share)
    return Session(tuple(shares), state.marks)


@dataclass(frozen=True, eq=False)
class _State:
    """How far the painter is.

    share : of the visible surface that is right.
    marks, marked : what was typed and marked, and what came of it; None before the first action.
    got : (faces,) int, the label of each face; -1 for none.
    """

    share: float
    marks: Marks
    marked: Marked | None
    got: NDArray[np.int_]


class _Painter:
    """What `paint_by_marks` looks at, prepared once."""

    def __init__(
        self,
        sculpt: Sculpt,
        truth: NDArray[np.int32],
        names: Sequence[str],
        count: int,
        shapes: bool,
        mirror: bool | None,
    ) -> None:
        found = Analysis(sculpt.vertices, sculpt.faces).with_both_sides(0.0, mirror)
        marks = Marks(path=Path("simulated.toml"), count=count, mirror=found.both_sides)
        self._figure = MarkedFigure(sculpt, marks)
        analysis = self._figure.analysis
        self._own = surface_of(sculpt.vertices, sculpt.faces, analysis.metric)
        self._beside, self._across = _beside(self._own), _across(self._own, analysis)
        self._truth, self._names, self._shapes = truth, names, shapes
        self._size = np.where(sculpt.exposed, sculpt.mm2, 0.0).astype(np.float64)
        proposal = proposed(analysis, max(count, 1), exposed=sculpt.exposed)
        self._regions, self._of_face = proposal.regions if count else (), proposal.of_face
        self._marks = replace(marks, regions={r.name: Spot(r.at, r.normal) for r in self._regions})
        of_own = proposal.of_face[analysis.standing_in]
        self._majority = _majority(of_own, truth, self._size, len(self._regions))

    def begin(self) -> _State:
        """Nothing typed or marked."""
        return _State(0.0, self._marks, None, np.full(len(self._truth), -1))

    def best(self, state: _State) -> _State:
        """What comes of the best action."""
        number, marks = self._tried(state)
        found = max([*number, *marks], key=_share)
        if not (self._shapes and number) or found is number[0]:
            return found
        further = [max([*a, *b], key=_share).share for a, b in map(self._tried, (number[0], found))]
        return number[0] if further[0] >= further[1] else found

    def _tried(self, state: _State) -> tuple[list[_State], list[_State]]:
        """What comes of the number in the middle of the largest error, and of marks there."""
        figure, own, marks = self._figure, self._own, state.marks
        wrong = _worst(own, self._beside, self._across, state.got, self._truth, self._size)
        name = self._names[self._truth[wrong.face]]
        standing = int(figure.analysis.standing_in[wrong.face])
        region = int(self._of_face[standing])
        bare = _without_the_shape_on(marks, state.marked, wrong.face)
        numbered: list[Marks] = []
        if self._is_free(state, region) and self._majority[region] == self._truth[wrong.face]:
            numbers = (*marks.areas.get(name, ()), self._regions[region].name)
            areas = {**marks.areas, name: numbers}
            numbered += [replace(begun, areas=areas) for begun in (marks, *bare)]
        point = _mark(figure, wrong.face, name)
        drawn = [point, _line(figure, own, wrong, point)]
        if self._shapes and wrong.wide_mm > 0:
            drawn += _ways(figure, own, wrong, point)
        marked = [
            replace(cleared, marks=(*cleared.marks, mark))
            for begun in (marks, *bare)
            for cleared in [_without_what_grows_from(begun, state.marked, standing)]
            for mark in drawn
        ]
        return self._after(state, numbered), self._after(state, [*marked, *bare])

    def _is_free(self, state: _State, region: int) -> bool:
        """Whether a region's number can be typed."""
        if not self._regions or _named(state.marks, self._regions[region].name):
            return False
        return all(seed.face != self._regions[region].face for seed in _seeds(state.marked))

    def _after(self, state: _State, choices: list[Marks]) -> list[_State]:
        """What comes of each choice that is no slip."""
        states, index = [], {name: k for k, name in enumerate(self._names)}
        for marks in choices:
            try:
                marked = self._figure.apply(marks, state.marked)
            except MarksFault:
                continue
            label = np.array([index.get(name, -1) for name in marked.sculpt.area_names])
            got = label[marked.sculpt.area]
            states.append(_State(share_right(got, self._truth, self._size), marks, marked, got))
        return states


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
    drawn += _belts(figure, own, wrong, point) + _outlines(figure, own, wrong, point)
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


def _outlines(figure: MarkedFigure, own: Surface, wrong: _Wrong, point: Mark) -> list[Mark]:
    """Outlines of a piece as one sees it from straight above its middle, with a few corners."""
    from skimage.measure import approximate_polygon, find_contours

    axis = own.normal[wrong.face]
    for _ in range(2):
        facing = wrong.inside & (own.normal @ axis > 0)
        facing[wrong.face] = True
        pairs = facing[own.left] & facing[own.right]
        _, piece = joined(len(facing), own.left[pairs], own.right[pairs])
        which = np.flatnonzero(facing & (piece == piece[wrong.face]))
        axis = own.mm2[which] @ own.normal[which]
        axis /= np.linalg.norm(axis)
    plane = np.linalg.svd(axis[None])[2][1:]
    corners = own.vertices[own.faces[which]] @ plane.T
    low, high = corners.min(axis=(0, 1)), corners.max(axis=(0, 1))
    cell = float((high - low).max()) / _PIXELS
    seen = Image.new("1", (_PIXELS + 4, _PIXELS + 4))
    pen = ImageDraw.Draw(seen)
    for triangle in ((corners - low) / cell + 2.0).tolist():
        pen.polygon([(x, y) for x, y in triangle], fill=1)
    rims = find_contours(np.asarray(seen, dtype=np.float64), 0.5)
    if not rims:
        return []
    rim = max(rims, key=len)[:, ::-1]
    middle = own.centre[which] @ plane.T
    marks = []
    for most in _CORNERS:
        loose = next(
            shape for k in range(_PIXELS) if len(shape := approximate_polygon(rim, k)) <= most + 1
        )
        places = (loose[:-1] - 2.0) * cell + low
        if len(places) < 3:
            continue
        near = [int(which[np.argmin(np.linalg.norm(middle - at, axis=1))]) for at in places]
        spots = tuple(_mark(figure, face, "").spots[0] for face in near)
        marks.append(replace(point, kind=OUTLINE, spots=spots))
    return marks


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


def _without_what_grows_from(marks: Marks, marked: Marked | None, face: int) -> Marks:
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


def _without_the_shape_on(marks: Marks, marked: Marked | None, face: int) -> list[Marks]:
    """The marks without the shape that lies on a face of the figure; none where none does."""
    top = int(marked.drawn.layers.top[face]) if marked else -1
    if marked is None or top < 0:
        return []
    shape = marked.drawn.covers[top].mark
    return [replace(marks, marks=tuple(mark for mark in marks.marks if mark != shape))]


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
