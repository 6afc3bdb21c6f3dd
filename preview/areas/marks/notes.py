"""What a painter should know about the numbers and growing marks of a file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from preview.areas.analysis.analysis import Analysis
from preview.areas.marks.model import POINT, Marks, Spot
from preview.areas.marks.seeds import Seed


def notes_on(
    analysis: Analysis, marks: Marks, regions: Mapping[str, Spot], seeds: Sequence[Seed]
) -> list[str]:
    """Numbers without a name, reaches that count for nothing, marks on several shells.

    Parameters
    ----------
    analysis : of the figure.
    marks : without pixels.
    regions : number -> middle.
    seeds : from which areas grow.
    """
    return [*_bare(marks, regions), *_in_vain(seeds), *_apart(analysis, marks, seeds)]


def _bare(marks: Marks, regions: Mapping[str, Spot]) -> list[str]:
    """Numbers over which no name stands."""
    named = {n for numbers in marks.areas.values() for n in numbers}
    bare = [n for n in regions if n not in named] if marks.areas else []
    if not bare:
        return []
    listed = ", ".join(bare)
    return [f"no name stands over {listed}; areas beside them, or marks on them, flow over them"]


def _in_vain(seeds: Sequence[Seed]) -> list[str]:
    """Marks from all of whose places their area grows farther anyway."""
    farthest = dict[int, float]()
    for seed in seeds:
        farthest[seed.face] = max(seed.reach, farthest.get(seed.face, 0.0))
    in_force = {seed.where for seed in seeds if seed.reach == farthest[seed.face]}
    return [
        f"{where}: its reach counts for nothing, since the same area grows farther from there"
        for where in dict.fromkeys(seed.where for seed in seeds)
        if where not in in_force
    ]


def _apart(analysis: Analysis, marks: Marks, seeds: Sequence[Seed]) -> list[str]:
    """Marks whose places lie on several shells, though no image of them was asked for."""
    if analysis.both_sides:
        return []
    shells: dict[str, set[int]] = {}
    for seed in seeds:
        if not seed.between:
            shells.setdefault(seed.where, set()).add(int(analysis.surface.shell[seed.face]))
    return [
        f"{mark.where}: its places lie on {len(shells[mark.where])} shells, and no line leads "
        "from one shell to another"
        for mark in marks.marks
        if mark.kind == POINT and not mark.mirror and len(shells.get(mark.where, ())) > 1
    ]
