"""Shapes laid on what grew: the finer lies on top, whatever the order of the file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.marks.model import BELT, DISC, HEIGHTS, LOOKS_UP, OUTLINE, STROKE, Mark
from preview.errors import Fault

Ints = NDArray[np.int32]

_RANK = {LOOKS_UP: 0, HEIGHTS: 1, OUTLINE: 2, BELT: 3, STROKE: 4, DISC: 5}


@dataclass(frozen=True, eq=False)
class Cover:
    """A shape laid on the figure.

    faces : (faces,) bool, those that it covers.
    size : mm, its diameter or width; of an outline the side of a square as large.
    wide : mm, how wide it is where it is narrow.
    image : it lies on the other side, where nobody asked for it by name, so it gives way.
    """

    mark: Mark
    faces: NDArray[np.bool_]
    size: float
    wide: float
    image: bool = False


@dataclass(frozen=True, eq=False)
class Layered:
    """What shapes give; faults where two areas claim a face with equal right.

    labels : (faces,) int32, index into names, -1 where no shape lies.
    top : (faces,) int32, which cover lies on top, -1 where none does.
    """

    labels: Ints
    top: Ints
    faults: tuple[Fault, ...]
    notes: tuple[str, ...]


def layered(covers: Sequence[Cover], names: Sequence[str], faces: int) -> Layered:
    """Lay shapes over each other.

    Ground lies lowest, then bands of height, outlines, belts, strokes, discs; of two of one kind
    the smaller or narrower is on top, images that nobody asked for below both. Equal ones of
    different areas may not share a face.

    Parameters
    ----------
    covers : of all shapes.
    names : the areas.
    faces : how many the figure has.
    """
    order = {name: k for k, name in enumerate(names)}
    labels, notes = np.full(faces, -1, np.int32), []
    rank = np.full(faces, -1, np.int64)
    top = np.full(faces, -1, np.int32)
    faults: dict[tuple[int, int], Fault] = {}
    ranks = [_rank(cover) for cover in covers]
    level = {rank: k for k, rank in enumerate(sorted(set(ranks)))}
    for number in sorted(range(len(covers)), key=lambda k: ranks[k]):
        mark, covered = covers[number].mark, covers[number].faces
        if not covered.any():
            if not covers[number].image:
                notes.append(f"{mark.where} covers no face: the middle of none lies within it")
            continue
        mine = level[ranks[number]]
        clash = covered & (rank == mine) & (labels != order[mark.area])
        for other in np.unique(top[clash]).tolist():
            faults[other, number] = Fault(
                f'"{mark.area}" and "{covers[other].mark.area}" cover the same faces',
                f"{mark.where}; {covers[other].mark.where}",
                "move one of them, or make one narrower, so that it lies on top",
            )
        labels[covered] = order[mark.area]
        rank[covered] = mine
        top[covered] = number
    seen = {covers[number].mark.where for number in np.unique(top[top >= 0]).tolist()}
    for cover in covers:
        over = top[cover.faces]
        # Under shapes of its own area a mark does no harm.
        others = over[labels[cover.faces] != order[cover.mark.area]]
        if len(others) and cover.mark.where not in seen:
            most = covers[int(np.argmax(np.bincount(others)))].mark.where
            notes.append(f"{cover.mark.where} lies wholly under {most}, so nothing comes of it")
    return Layered(labels, top, tuple(faults.values()), tuple(dict.fromkeys(notes)))


def _rank(cover: Cover) -> tuple[int, bool, float]:
    """What lies on top has the higher rank."""
    return _RANK[cover.mark.kind], not cover.image, -round(cover.size, 3)
