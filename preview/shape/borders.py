"""The edges at which two labels of a mesh meet, with their length."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.shape.neighbours import neighbours_of
from preview.shape.weld import weld_exact


@dataclass(frozen=True, eq=False)
class Borders:
    """Edges shared by two faces of different labels.

    low, high : (edges,) int32, the two labels, low < high.
    ends : (edges, 2, 3) float64, both ends, in the mesh's unit.
    length : (edges,) float64, same unit.
    """

    low: NDArray[np.int32]
    high: NDArray[np.int32]
    ends: NDArray[np.float64]
    length: NDArray[np.float64]


def label_borders(
    vertices: NDArray[np.floating],
    faces: NDArray[np.integer],
    label: NDArray[np.integer],
    counted: NDArray[np.bool_],
) -> Borders:
    """Where faces of different labels share an edge.

    Vertices at the same place count as one, since files often repeat them between groups.

    Parameters
    ----------
    vertices : (vertices, 3) float, any unit.
    faces : (faces, 3) int.
    label : (faces,) int, >= 0.
    counted : (faces,) bool; faces that do not count have no borders.
    """
    places, place_of = weld_exact(vertices)
    near = _faces_at_borders(place_of[faces], label, counted, len(places))
    welded = place_of[faces[near]]
    whole = (welded != np.roll(welded, 1, axis=1)).all(axis=1)
    near, welded = near[whole], welded[whole]
    pairs = neighbours_of(welded)
    a, b = label[near[pairs.left]], label[near[pairs.right]]
    meet = a != b
    ends = places[pairs.ends[meet]].astype(np.float64)
    return Borders(
        low=np.minimum(a, b)[meet].astype(np.int32),
        high=np.maximum(a, b)[meet].astype(np.int32),
        ends=ends,
        length=np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1),
    )


def points_along(borders: Borders, step: float) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Points on the borders, no two neighbours farther apart than `step`.

    Parameters
    ----------
    step : > 0, the mesh's unit.

    Returns
    -------
    points : (points, 3) float64.
    edge : (points,) int64, the edge that each lies on.
    """
    pieces = np.maximum(np.ceil(borders.length / step), 1.0).astype(np.int64)
    edge = np.repeat(np.arange(len(pieces)), pieces)
    first = np.cumsum(pieces) - pieces
    share = (np.arange(len(edge)) - first[edge] + 0.5) / pieces[edge]
    start, end = borders.ends[edge, 0], borders.ends[edge, 1]
    return start + share[:, None] * (end - start), edge


def _faces_at_borders(
    corners: NDArray[np.integer],
    label: NDArray[np.integer],
    counted: NDArray[np.bool_],
    places: int,
) -> NDArray[np.int64]:
    """The counted faces with at least two corners at which labels meet."""
    which = np.flatnonzero(counted)
    at, own = corners[which], label[which]
    some_label = np.full(places, -1, np.int64)
    some_label[at] = own[:, None]
    mixed = np.zeros(places, np.bool_)
    mixed[at[some_label[at] != own[:, None]]] = True
    return np.asarray(which[mixed[at].sum(axis=1) >= 2])
