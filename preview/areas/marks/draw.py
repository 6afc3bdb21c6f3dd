"""Shapes of a marks file laid on a figure, those that are laid already taken as they are."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from preview.areas.analysis.analysis import Analysis
from preview.areas.marks.layers import Cover, Layered, layered
from preview.areas.marks.model import POINT, SHELL, UNSURE, Mark, Marks
from preview.areas.marks.shapes import slip_of
from preview.areas.marks.spots import (
    OFF_MIRRORED_MM,
    OFF_MM,
    Placed,
    placed,
    told_apart,
    with_image,
)
from preview.errors import Fault

Lay = Callable[[Mark, Sequence[Placed], bool], Cover]


@dataclass(frozen=True, eq=False)
class Drawn:
    """The shapes of a marks file on a figure.

    mirrored : whether marks count on both sides, and where the plane is; with another, other
        images lie beyond it.
    covers : what each shape covers, images after their marks.
    layers : what they give.
    """

    mirrored: tuple[bool, float]
    covers: tuple[Cover, ...]
    layers: Layered


def drawn(
    analysis: Analysis,
    lay: Lay,
    marks: Marks,
    faces: int,
    before: Drawn | None,
    faults: list[Fault],
) -> Drawn:
    """Lay the shapes of a marks file on a figure.

    Parameters
    ----------
    analysis : of the figure.
    lay : `Shapes.cover` of the figure.
    marks : without pixels.
    faces : how many the figure has.
    before : an earlier result on this figure; its shapes need not be laid again.
    faults : hears of shapes that do not lie on the figure and of those that claim the same faces.
    """
    mirrored = marks.mirror, marks.mirror_x
    known = dict[Mark, list[Cover]]()
    if before is not None and before.mirrored == mirrored:
        for cover in before.covers:
            known.setdefault(cover.mark, []).append(cover)
    covers = list[Cover]()
    for mark in dict.fromkeys(marks.marks):
        if mark.kind not in (POINT, SHELL):
            covers += known.get(mark) or _covers(analysis, lay, marks, mark, faults)
    layers = layered(covers, marks.names, faces)
    faults += layers.faults
    return Drawn(mirrored, tuple(covers), layers)


def _covers(
    analysis: Analysis, lay: Lay, marks: Marks, mark: Mark, faults: list[Fault]
) -> list[Cover]:
    """What a shape covers, and its image where it has one."""
    covers = []
    asked = mark.mirror or (mark.mirror is None and marks.mirror)
    for copy in with_image(mark, marks.mirror_x) if asked else [mark]:
        # An image that nobody asked for by name may have no surface to lie on.
        told = faults if copy is mark or mark.mirror else []
        off = OFF_MM if copy is mark else OFF_MIRRORED_MM
        found = [placed(analysis, *one, off, told) for one in told_apart(copy)]
        lying = [one for one in found if one is not None]
        if mark.kind == UNSURE or len(lying) < len(copy.spots):
            # Of the image of what does not lie on the figure nobody needs to hear.
            break
        what, fix = slip_of(mark.kind, lying)
        if what:
            where = mark.where if copy is mark else f"{mark.where}, its image"
            told.append(Fault(what, where, fix))
            break
        covers.append(lay(mark, lying, copy is not mark and not mark.mirror))
    return covers
