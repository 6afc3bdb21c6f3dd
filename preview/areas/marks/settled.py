"""Places whose areas are settled: kept in the marks file, so that another export has them alike.

Where no crease parts two areas, or a thinned mesh lost it, a small change of the faces can tip
large pieces from one mark to another. Places that say what came out last hold such pieces.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.analysis import Analysis
from preview.areas.analysis.metric import Metric
from preview.areas.analysis.regions import depth_mm
from preview.areas.analysis.surface import Surface
from preview.areas.marks.fit import spread_faces
from preview.areas.marks.model import POINT, SHELL, Marks, Settled, Spot, rounded
from preview.areas.marks.seeds import Seed
from preview.shape.curve import along_curve
from preview.shape.neighbours import joined

_PLACES = 600
_INSIDE = 0.1
_FEW = 0.5


def settled_on(
    analysis: Analysis,
    labels: NDArray[np.int32],
    names: tuple[str, ...],
    marks: Marks,
) -> Settled:
    """Places spread evenly over a figure, each with its area.

    Left out are those beside a seam, and those at which a face of another area is found, such as
    where shells run into each other: on this very figure all places agree with the marks.

    Parameters
    ----------
    analysis : of the figure, in the frame of the marks file.
    labels : (surface faces,) int, index into names; -1 where nothing is marked.
    names : the areas.
    marks : they made the labels; without pixels.
    """
    surface = analysis.surface
    order = along_curve(surface.vertices, surface.faces)
    spread = spread_faces(surface.mm2, order, _PLACES)
    inside = depth_mm(surface, labels) >= _INSIDE / surface.metric.scale
    areas: dict[str, tuple[Spot, ...]] = dict.fromkeys(names, ())
    for face in np.unique(spread[inside[spread] & (labels[spread] >= 0)]).tolist():
        at, normal = rounded(surface.centre[face], 2), rounded(surface.normal[face], 1)
        found = analysis.places.nearest(np.array(at), np.array(normal)).face
        if labels[found] == labels[face]:
            areas[names[labels[face]]] += (Spot(at, normal),)
    return Settled(
        digest_of(marks, surface.metric), {name: spots for name, spots in areas.items() if spots}
    )


def bare_as_before(
    surface: Surface,
    labels: NDArray[np.int32],
    seeds: Sequence[Seed],
    settled: Sequence[Seed],
) -> NDArray[np.bool_]:
    """What lies beyond the reach of all marks, and did so on the export that settled the places.

    Parameters
    ----------
    labels : (surface faces,) int, what grew from marks alone; -1 for bare.
    seeds, settled : of the marks, and of the settled places.

    Returns
    -------
    bare : (surface faces,) bool: connected pieces that are bare, on shells on which areas grow,
        with less than half as many settled places as were spread over so much surface.
    """
    grows = np.zeros(surface.shells, np.bool_)
    grows[surface.shell[[seed.face for seed in seeds]]] = True
    bare = (labels < 0) & grows[surface.shell]
    inside = bare[surface.left] & bare[surface.right]
    count, piece = joined(len(labels), surface.left[inside], surface.right[inside])
    places = np.bincount(piece[[seed.face for seed in settled]], minlength=count)
    spread = _PLACES / max(float(surface.mm2.sum()), 1e-12)
    few = places < _FEW * spread * np.bincount(piece, surface.mm2, count)
    return np.asarray(bare & few[piece], dtype=np.bool_)


def digest_of(marks: Marks, metric: Metric) -> str:
    """A short text that changes with anything from which areas grow, but not with its order.

    Shapes lie on top of what has grown and don't count, nor do digits that a marks file drops.

    Parameters
    ----------
    marks : without pixels.
    metric : in which they grow.
    """
    named = {number: area for area, numbers in marks.areas.items() for number in numbers}
    spots = [
        (area, _kept(marks.regions[number]))
        for number, area in named.items()
        if number in marks.regions
    ]
    grown = [
        replace(mark, where="", spots=tuple(_kept(spot) for spot in mark.spots))
        for mark in marks.marks
        if mark.kind in (POINT, SHELL)
    ]
    lengths = (metric.scale, metric.smooth, metric.bend, metric.power, metric.convex)
    said = [
        *sorted(map(repr, spots)),
        *sorted(map(repr, grown)),
        repr([f"{number:.9g}" for number in lengths]),
        repr((marks.mirror, marks.mirror_x if marks.mirror else 0.0)),
    ]
    return hashlib.sha256("\n".join(said).encode()).hexdigest()[:16]


def _kept(spot: Spot) -> Spot:
    """A spot with the digits that a marks file keeps."""
    at = None if spot.at is None else rounded(spot.at, 3)
    normal = None if spot.normal is None else rounded(spot.normal, 2)
    return Spot(at, normal)
