"""A painter who knows the truth: types a number or sets a mark where most is still wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from operator import attrgetter
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
from preview.areas.marks.model import POINT, Marks, Spot
from preview.areas.marks.seeds import Seed
from preview.areas.sculpt import Sculpt
from preview.errors import MarksFault
from preview.shape.neighbours import joined
from tests.areas.wrong_piece import Wrong, growing, shapes, traced

GOALS = (0.90, 0.95, 0.97)
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
    marked, or a line along the piece, either of which may be told how far to grow, or the number
    there is typed if it is not named yet, nothing grows from its region's middle, and the region is
    mostly of the piece's true area; whichever makes most right. A mark or number that grows from
    that very face is taken back within the action, and so is a shape on it where that makes more
    right; to take one back and do nothing else is an action, too. Where shells of the piece touch
    they are one piece, since nobody sees that locks of hair are shells; where numbers and marks
    count on both sides, so do pieces. Each number and each mark is one action.

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
        if not (self._shapes and number) or found in number:
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
        without_shape = _without_the_shape_on(marks, state.marked, wrong.face)
        numbered: list[Marks] = []
        if self._is_free(state, region) and self._majority[region] == self._truth[wrong.face]:
            numbers = (*marks.areas.get(name, ()), self._regions[region].name)
            areas = {**marks.areas, name: numbers}
            numbered += [replace(begun, areas=areas) for begun in (marks, *without_shape)]
        line = traced(figure, own, wrong)
        drawn = growing(figure, own, wrong, name, line)
        if self._shapes and line:
            drawn += shapes(figure, own, wrong, name, line)
        marked = [
            replace(cleared, marks=(*cleared.marks, mark))
            for begun in (marks, *without_shape)
            for cleared in [_without_what_grows_from(begun, state.marked, standing)]
            for mark in drawn
        ]
        return self._after(state, numbered), self._after(state, [*marked, *without_shape])

    def _is_free(self, state: _State, region: int) -> bool:
        """Whether a region's number can be typed."""
        if not self._regions or _named(state.marks, self._regions[region].name):
            return False
        return all(seed.face != self._regions[region].face for seed in _seeds(state.marked))

    def _after(self, state: _State, choices: list[Marks]) -> list[_State]:
        """What comes of each choice that is no slip."""
        states, index = [], {name: k for k, name in enumerate(self._names)}
        for marks in choices:
            if not marks.names or _same(marks, state.marks):
                continue
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


def _seeds(marked: Marked | None) -> tuple[Seed, ...]:
    """Where areas grow from so far."""
    return marked.seeds if marked else ()


def _without_what_grows_from(marks: Marks, marked: Marked | None, face: int) -> Marks:
    """The marks without the mark or number that grows from this very face of the surface."""
    for seed in _seeds(marked):
        if seed.face != face:
            continue
        kept = tuple(
            mark
            for mark in marks.marks
            if mark.kind != POINT or all(spot.at != seed.at for spot in mark.spots)
        )
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


def _same(marks: Marks, others: Marks) -> bool:
    """Whether two files say the same."""
    numbers = [{name: set(one) for name, one in f.areas.items() if one} for f in (marks, others)]
    return set(marks.marks) == set(others.marks) and numbers[0] == numbers[1]


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
) -> Wrong:
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
    return Wrong(inside, int(np.argmax(np.where(size > 0, depth, -1.0))), depth)
