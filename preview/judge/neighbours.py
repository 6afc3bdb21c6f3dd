"""Measure where the areas of a sculpt meet, on the mesh and in the judge's views."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.judge.cracks import find_cracks
from preview.judge.crossings import crossing_lengths
from preview.judge.grouping import sums, weighted_medians
from preview.judge.kinds import CONTACT_MM, EdgeFinder, Kind, kinds_of, points_of
from preview.judge.meeting import Meeting, Stretches, Touches
from preview.judge.views import AROUND, Around, judge_views, look
from preview.judge.width import Parts, measure_parts
from preview.progress import Progress, silent
from preview.render.scan import ScanRenderer
from preview.render.seen import Renderer
from preview.render.view import View
from preview.settings import DISTANCE
from preview.shape.borders import Borders, label_borders
from preview.shape.threads import in_threads

STRETCH_MM = 1.5
"""Tones are compared over stretches of this length, about 5 arc minutes at 1 m: an eye pools
contrast along a border over some such length. Our convention."""


@dataclass(frozen=True, eq=False)
class _Sight:
    """What one view adds, all per crack; sides are the lower and the higher area."""

    label: NDArray[np.int32]
    face: NDArray[np.int32]
    kind: NDArray[np.int32]
    tile: NDArray[np.int64]
    length_mm: NDArray[np.float64]
    width_mm: NDArray[np.float64]
    part_mm: NDArray[np.float64]
    contact: NDArray[np.float64]
    area_width_mm: NDArray[np.float64]
    face_samples: NDArray[np.int64]


def measure_neighbours(
    sculpt: Sculpt,
    distance_m: float = DISTANCE.default,
    *,
    around: Around = AROUND,
    renderer: Renderer | None = None,
    progress: Progress = silent,
) -> Meeting:
    """Which areas meet, in which of three ways, over what length, and how wide they are there.

    Needs no colours: one measurement serves every scheme of a sculpt, and any distance and light,
    as long as the grid stays fine enough (see `judge_views`).

    Parameters
    ----------
    distance_m : metres from the eye, > 0; the views have at least 120 samples per degree of it.
    around : from where the figure is seen, and how much each view counts.
    renderer : prepared for this sculpt; drawn on the processor when left out.

    Raises
    ------
    UsageError : the distance is out of range or no number.
    """
    DISTANCE.check(distance_m)
    views = judge_views(sculpt, distance_m, around)
    sample_mm = views[0].mm_per_pixel
    eye = renderer if renderer is not None else ScanRenderer(sculpt.vertices, sculpt.faces)
    borders = label_borders(sculpt.vertices, sculpt.faces, sculpt.area, sculpt.exposed)
    edges = EdgeFinder(borders, len(sculpt.area_names), max(3.0 * sample_mm, 0.05))

    def sight(view: View) -> _Sight:
        return _look_around(sculpt, eye, view, edges)

    sights: list[_Sight] = []
    for done, one in enumerate(in_threads(sight, views), start=1):
        sights.append(one)
        progress("measuring neighbours", done, len(views))
    return _gather(sculpt, borders, sights, around.weights(), sample_mm, distance_m)


def _look_around(sculpt: Sculpt, eye: Renderer, view: View, edges: EdgeFinder) -> _Sight:
    """Everything that one view shows of where areas meet."""
    seen = look(sculpt, eye, view)
    cracks = find_cracks(seen.label)
    parts = measure_parts(seen.label)
    label, face, component = seen.label.ravel(), seen.face.ravel(), parts.component.ravel()
    sides = np.stack([cracks.first, cracks.second], axis=1)
    of_part = component[sides]
    mm = view.mm_per_pixel
    counted = label >= 0
    kind = kinds_of(sculpt, seen, cracks, edges)
    return _Sight(
        label=label[sides],
        face=face[sides],
        kind=kind,
        tile=_tiles(cracks.first, view),
        length_mm=mm * cracks.length,
        width_mm=mm * parts.width[of_part],
        part_mm=mm * parts.length[of_part],
        contact=points_of(seen, cracks.first[kind == Kind.CONTACT]),
        area_width_mm=mm * _area_widths(parts, len(sculpt.area_names)),
        face_samples=np.bincount(face[counted], minlength=len(sculpt.faces)),
    )


def _area_widths(parts: Parts, areas: int) -> NDArray[np.float64]:
    """The width of each area's typical part, by how much it fills; NaN where there is none."""
    return weighted_medians(parts.width, parts.samples.astype(np.float64), parts.label, areas)


def _tiles(cell: NDArray[np.int64], view: View) -> NDArray[np.int64]:
    """Number of the square of STRETCH_MM in which each sample lies, counted from the middle."""
    row, column = np.divmod(cell, view.width)
    x = np.floor((column + 0.5 - 0.5 * view.width) * view.mm_per_pixel / STRETCH_MM)
    y = np.floor((row + 0.5 - 0.5 * view.height) * view.mm_per_pixel / STRETCH_MM)
    return (x.astype(np.int64) + (1 << 15)) * (1 << 16) + y.astype(np.int64) + (1 << 15)


def _gather(
    sculpt: Sculpt,
    borders: Borders,
    sights: list[_Sight],
    view_weight: NDArray[np.float64],
    sample_mm: float,
    distance_m: float,
) -> Meeting:
    """All views together."""
    areas = len(sculpt.area_names)
    label = np.concatenate([s.label for s in sights]).astype(np.int64)
    on_mesh = borders.low.astype(np.int64) * areas + borders.high
    codes, index = np.unique(
        np.concatenate([label[:, 0] * areas + label[:, 1], on_mesh]), return_inverse=True
    )
    pair, mesh_pair = index[: len(label)], index[len(label) :]
    view = np.repeat(np.arange(len(sights)), [len(s.kind) for s in sights])
    kind = np.concatenate([s.kind for s in sights])
    length = np.concatenate([s.length_mm for s in sights])
    flat = (pair * len(Kind) + kind) * len(sights) + view
    size = len(codes) * len(Kind) * len(sights)
    visible = sums(flat, length, size).reshape(len(codes), len(Kind), len(sights))
    stretches, touches = _stretches(sights, pair, view, kind, length)
    return Meeting(
        area_names=sculpt.area_names,
        pairs=np.stack([codes // areas, codes % areas], axis=1).astype(np.int32),
        edge_mm=sums(mesh_pair, borders.length, len(codes)),
        contact_mm=_contact_mm(sculpt, sights, codes, visible),
        visible_mm=visible,
        part_width_mm=np.stack([s.area_width_mm for s in sights], axis=1),
        view_weight=view_weight,
        face_samples=_sum_by_weight([s.face_samples for s in sights], view_weight),
        stretches=stretches,
        touches=touches,
        sample_mm=sample_mm,
        distance_m=distance_m,
    )


def _sum_by_weight(
    counts: list[NDArray[np.int64]], weight: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Counts of several views, added by the weight of each."""
    total = np.zeros(len(counts[0]))
    for count, one in zip(counts, weight, strict=True):
        total += one * count
    return total


def _contact_mm(
    sculpt: Sculpt, sights: list[_Sight], codes: NDArray[np.int64], visible: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Per pair that views show in contact: the length of the cut, or the longest one in sight."""
    longest: NDArray[np.float64] = visible[:, Kind.CONTACT].max(axis=1, initial=0.0)
    if not (longest > CONTACT_MM).any():
        return np.zeros(len(codes))
    low, high, length = crossing_lengths(sculpt, np.concatenate([s.contact for s in sights]))
    code = low.astype(np.int64) * len(sculpt.area_names) + high
    at = np.minimum(np.searchsorted(codes, code), len(codes) - 1)
    found = codes[at] == code
    cut = sums(at[found], length[found], len(codes))
    # What is shorter in every view than the gap that counts as touching is chance.
    return np.where(longest > CONTACT_MM, np.maximum(cut, longest), 0.0)


def _stretches(
    sights: list[_Sight],
    pair: NDArray[np.int64],
    view: NDArray[np.int64],
    kind: NDArray[np.int32],
    length: NDArray[np.float64],
) -> tuple[Stretches, Touches]:
    """Cracks of the same pair, view, kind and square become one stretch."""
    tile = np.concatenate([s.tile for s in sights])
    group = (pair * len(sights) + view) * len(Kind) + kind
    order = np.lexsort((tile, group))
    new = np.ones(len(order), np.bool_)
    new[1:] = (np.diff(group[order]) != 0) | (np.diff(tile[order]) != 0)
    stretch = np.empty(len(order), np.int32)
    stretch[order] = np.cumsum(new) - 1
    head = order[new]
    count = len(head)
    total = sums(stretch, length, count)

    def mean(per_side: NDArray[np.float64]) -> NDArray[np.float64]:
        both = [sums(stretch, length * per_side[:, k], count) for k in (0, 1)]
        return np.stack(both, axis=1) / np.maximum(total, 1e-12)[:, None]

    made = Stretches(
        pair=pair[head].astype(np.int32),
        kind=kind[head],
        view=view[head].astype(np.int32),
        length_mm=total,
        width_mm=mean(np.concatenate([s.width_mm for s in sights])),
        part_mm=mean(np.concatenate([s.part_mm for s in sights])),
    )
    return made, Touches(stretch, np.concatenate([s.face for s in sights]), length)
