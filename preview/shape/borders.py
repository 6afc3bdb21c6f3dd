"""The edges at which two labels of a mesh meet, with their length."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.shape.compiled import compiled
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
    near = _faces_at_borders(faces, place_of, label, counted, len(places))
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
    faces: NDArray[np.integer],
    place_of: NDArray[np.int32],
    label: NDArray[np.integer],
    counted: NDArray[np.bool_],
    places: int,
) -> NDArray[np.int64]:
    """The counted faces with at least two corners at which labels meet."""
    held, at_border = np.full(places, -1, np.int64), np.zeros(len(faces), np.bool_)
    _mark_borders(faces, place_of, label, counted, held, at_border)
    return np.flatnonzero(at_border)


@compiled
def _mark_borders(
    faces: NDArray[np.integer],
    place_of: NDArray[np.int32],
    label: NDArray[np.integer],
    counted: NDArray[np.bool_],
    held: NDArray[np.int64],
    at_border: NDArray[np.bool_],
) -> None:
    """Fill in which counted faces have at least two corners at which labels meet.

    held : (places,) all -1; in the end the label at each place, or -2 where several meet.
    """
    for f in range(len(faces)):
        if counted[f]:
            for k in range(3):
                place = place_of[faces[f, k]]
                if held[place] != label[f]:
                    held[place] = label[f] if held[place] == -1 else -2
    for f in range(len(faces)):
        if counted[f]:
            mixed = 0
            for k in range(3):
                mixed += held[place_of[faces[f, k]]] == -2
            at_border[f] = mixed >= 2
