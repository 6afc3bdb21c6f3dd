"""Shapes laid on what grew: the finer lies on top, whatever the order of the file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.marks.model import BELT, DISC, HEIGHTS, LOOKS_UP, OUTLINE, STROKE, Mark
from preview.errors import Fault

Ints = NDArray[np.int32]

# A shape is drawn well by triangles half as wide as it is; a choice of ours.
_WIDE = 0.5
_RANK = {LOOKS_UP: 0, HEIGHTS: 1, OUTLINE: 2, BELT: 3, STROKE: 4, DISC: 5}


@dataclass(frozen=True, eq=False)
class Layered:
    """What shapes give; faults where two areas claim a face with equal right.

    labels : (faces,) int32, index into names, -1 where no shape lies.
    """

    labels: Ints
    faults: tuple[Fault, ...]
    notes: tuple[str, ...]


def layered(
    covers: Sequence[tuple[Mark, NDArray[np.bool_]]], names: Sequence[str], faces: int
) -> Layered:
    """Lay shapes over each other.

    Ground lies lowest, then bands of height, outlines, belts, strokes, discs; of two of one kind
    the smaller or narrower is on top. Equal ones of different areas may not share a face.

    Parameters
    ----------
    covers : each shape with the faces it covers, (faces,) bool.
    names : the areas.
    faces : how many the figure has.
    """
    order = {name: k for k, name in enumerate(names)}
    labels, notes = np.full(faces, -1, np.int32), []
    rank = np.full(faces, -1, np.int64)
    owner = np.full(faces, -1, np.int64)
    faults: dict[tuple[int, int], Fault] = {}
    for number in sorted(range(len(covers)), key=lambda k: _rank(covers[k][0])):
        mark, covered = covers[number]
        if not covered.any():
            notes.append(f"{mark.where} covers no face: the middle of none lies within it there")
            continue
        mine = _rank(mark)
        clash = covered & (rank == mine) & (labels != order[mark.area])
        for other in np.unique(owner[clash]).tolist():
            faults[other, number] = Fault(
                f'"{mark.area}" and "{covers[other][0].area}" cover the same faces',
                f"{mark.where}; {covers[other][0].where}",
                "move one of them, or make one narrower, so that it lies on top",
            )
        labels[covered] = order[mark.area]
        rank[covered] = mine
        owner[covered] = number
    return Layered(labels, tuple(faults.values()), tuple(notes))


def coarse_in_words(
    covers: Sequence[tuple[Mark, NDArray[np.bool_]]], mm2: NDArray[np.floating]
) -> list[str]:
    """One sentence for each shape that lies on triangles too wide for it.

    Parameters
    ----------
    covers : each shape with the faces it covers, (faces,) bool; images follow their marks.
    mm2 : (faces,) mm².
    """
    said = dict[str, str]()
    for mark, faces in covers:
        if mark.where in said or not mark.size or not faces.any():
            continue
        # The leg of a right-angled triangle with two legs alike.
        leg = float(np.sqrt(2.0 * np.median(mm2[faces])))
        if leg > _WIDE * mark.size:
            said[mark.where] = (
                f"{mark.where}: the triangles here are about {leg:.1f} mm wide, so the "
                f"{mark.kind} of {mark.size:g} mm follows their edges and covers "
                f"{int(faces.sum())} of them, {float(mm2[faces].sum()):.2f} mm²; a mesh with its "
                "triangles divided has it finer"
            )
    return list(said.values())


def _rank(mark: Mark) -> int:
    """What lies on top has the higher rank."""
    return _RANK[mark.kind] * 10**9 - round(1000 * mark.size)
