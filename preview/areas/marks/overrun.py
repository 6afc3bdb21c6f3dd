"""Numbers that were named, while much of their regions came out as other areas."""

from __future__ import annotations

import numpy as np

from preview.areas.marks.apply import Marked, MarkedFigure
from preview.areas.marks.model import POINT, Marks

_KEPT = 2 / 3


def overrun_in_words(figure: MarkedFigure, marks: Marks, marked: Marked) -> list[str]:
    """One sentence for each number of whose region less than two thirds came out as it was named.

    Areas grow from the middle of a region, so a neighbour across no crease may reach more of it.

    Parameters
    ----------
    figure, marks : without pixels.
    marked : what came of the marks. Shapes on top of what grew don't count, nor do regions in
        which a place of another area's mark stands, since they are meant to change.

    Notes
    -----
    On another export than that of the proposal numbers may name other regions; nothing is said.
    """
    faces = len(figure.sculpt.faces)
    if not marks.areas or (marks.figure is not None and marks.figure.faces != faces):
        return []
    proposal, surface = figure.proposal(marks), figure.analysis.surface
    size = np.where(figure.analysis.standing_for(figure.sculpt.exposed), surface.mm2, 0.0)
    table = np.zeros((len(proposal.regions), len(marked.names)))
    grown = marked.carried.thin
    np.add.at(table, (proposal.of_face[grown >= 0], grown[grown >= 0]), size[grown >= 0])
    order = {name: k for k, name in enumerate(marked.names)}
    numbers = {number: area for area, listed in marks.areas.items() for number in listed}
    marked_at = {mark.where for mark in marks.marks}
    growing = {mark.area for mark in marks.marks if mark.kind == POINT}
    meant = {
        (int(proposal.of_face[seed.face]), seed.area)
        for seed in marked.seeds
        if seed.where in marked_at and not seed.between
    }
    said = []
    for index, region in enumerate(proposal.regions):
        area = numbers.get(region.name)
        if area is None or any(at == index and other != area for at, other in meant):
            continue
        row = table[index]
        share = float(row[order[area]] / max(float(row.sum()), 1e-12))
        if share < _KEPT:
            row[order[area]] = 0.0
            most = marked.names[int(np.argmax(row))]
            said.append(
                f'{region.name} is named "{area}", yet {1 - share:.0%} of its region came out as '
                f'other areas, mostly "{most}": where that is wrong, add a mark of "{area}" there'
                + (f', or a reach to the mark of "{most}"' if most in growing else "")
            )
    return said
