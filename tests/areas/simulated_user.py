"""A painter who knows the truth: types a number or sets a mark where most is still wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.agreement import share_right
from preview.areas.analysis.regions import depth_mm, proposed
from preview.areas.analysis.surface import Surface, surface_of
from preview.areas.marks.apply import Marked, MarkedFigure, Seed
from preview.areas.marks.model import POINT, Mark, Marks, Spot
from preview.areas.sculpt import Sculpt
from preview.shape.neighbours import joined

GOALS = (0.90, 0.95, 0.97)


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
) -> Session:
    """Name numbers and set marks until a share of the surface is right.

    Each action looks at the largest connected piece that is wrong, at its middle. Where the number
    there is not named yet and mostly of the piece's true area, the number is typed; else the middle
    is marked. Each number and each mark is one action.

    Parameters
    ----------
    sculpt : the figure as one solid.
    truth : (faces,) int, index into names.
    count : how many regions the proposal has; 0 for marks alone.
    most : actions after which the painter gives up.
    """
    marks = Marks(path=Path("simulated.toml"), count=count)
    figure = MarkedFigure(sculpt, marks)
    own = surface_of(sculpt.vertices, sculpt.faces, figure.analysis.metric)
    size = np.where(sculpt.exposed, sculpt.mm2, 0.0).astype(np.float64)
    proposal = proposed(figure.analysis, max(count, 1))
    regions, of_face = proposal.regions if count else (), proposal.of_face
    marks = replace(marks, regions={r.name: Spot(r.at, r.normal) for r in regions})
    majority = _majority(of_face[figure.analysis.standing_in], truth, size, len(regions))
    got, shares, before = np.full(len(truth), -1), [0.0], None
    marked: Marked | None = None
    while len(shares) <= most and shares[-1] < goal:
        face = _middle_of_worst(own, got, truth, size)
        label = int(truth[face])
        region = int(of_face[figure.analysis.standing_in[face]])
        name = names[label]
        free = bool(count) and not _named(marks, regions[region].name)
        free = free and all(seed.face != regions[region].face for seed in _seeds(marked))
        if free and majority[region] == label:
            numbers = (*marks.areas.get(name, ()), regions[region].name)
            marks = replace(marks, areas={**marks.areas, name: numbers})
        else:
            marks = _without_what_is_there(marks, marked, int(figure.analysis.standing_in[face]))
            marks = replace(marks, marks=(*marks.marks, _mark(figure, face, name)))
        marked = figure.apply(marks, before)
        before = marked
        got = np.array([names.index(n) if n in names else -1 for n in marked.sculpt.area_names])[
            marked.sculpt.area
        ]
        shares.append(share_right(got, truth, size))
    return Session(tuple(shares), marks)


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


def _middle_of_worst(
    surface: Surface,
    got: NDArray[np.int_],
    truth: NDArray[np.int32],
    size: NDArray[np.float64],
) -> int:
    """The middle of the largest connected piece of one true area that is wrong."""
    wrong = np.where(got != truth, truth, -1)
    same = (wrong[surface.left] == wrong[surface.right]) & (wrong[surface.left] >= 0)
    count, piece = joined(len(wrong), surface.left[same], surface.right[same])
    weight = np.where(wrong >= 0, size, 0.0)
    inside = piece == int(np.argmax(np.bincount(piece, weight, count)))
    depth = depth_mm(surface, inside.astype(np.int32))
    return int(np.argmax(np.where(inside, depth, -1.0)))
