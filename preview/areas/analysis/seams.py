"""The line between two labels, moved to the crease beside it and smoothed."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int32]
Floats = NDArray[np.float64]

_ROUNDS = 8
_GAIN = 1e-9


def smoothed(
    labels: Ints,
    left: Ints,
    right: Ints,
    cut: Floats,
    fixed: NDArray[np.bool_],
) -> Ints:
    """Give single faces to the other side of a seam where that makes the seam cheaper.

    A seam costs the length of the edges it runs along, less in creases. In each round those faces
    change that gain more than every neighbour would, so the order of the faces does not matter.

    Parameters
    ----------
    labels : (faces,) int32; -1 is a label like others.
    left, right : (steps,) int32, faces that share an edge.
    cut : (steps,) float64, > 0, what a seam along that edge costs.
    fixed : (faces,) bool, faces that keep their label.
    """
    labels = labels.copy()
    start = np.concatenate((left, right))
    end = np.concatenate((right, left))
    cost = np.concatenate((cut, cut))
    for _ in range(_ROUNDS):
        at = np.flatnonzero(labels[start] != labels[end])
        if not len(at):
            break
        gain, wish = _gains(labels, start, end, cost, start[at])
        gain[fixed] = 0.0
        rival = np.zeros(len(labels))
        near = np.flatnonzero((gain[start] > 0) & (gain[end] > 0))
        np.maximum.at(rival, start[near], gain[end[near]])
        moved = (gain > _GAIN) & (gain > rival)
        if not moved.any():
            break
        labels[moved] = wish[moved]
    return labels


def _gains(
    labels: Ints, start: Ints, end: Ints, cost: Floats, candidates: Ints
) -> tuple[Floats, Ints]:
    """(faces,) what each candidate would gain by taking its best neighbour's label; that label."""
    asked = np.zeros(len(labels), np.bool_)
    asked[candidates] = True
    steps = np.flatnonzero(asked[start])
    face, other, worth = start[steps], labels[end[steps]], cost[steps]
    order = np.lexsort((other, face))
    face, other, worth = face[order], other[order], worth[order]
    first = np.ones(len(face), np.bool_)
    first[1:] = (face[1:] != face[:-1]) | (other[1:] != other[:-1])
    group = np.cumsum(first) - 1
    held = np.bincount(group, worth)
    face, other = face[first], other[first]
    own = np.zeros(len(labels))
    mine = labels[face] == other
    own[face[mine]] = held[mine]
    gain = np.zeros(len(labels))
    wish = labels.copy()
    order = np.lexsort((-other, held, face))
    face, other, held = face[order], other[order], held[order]
    last = np.ones(len(face), np.bool_)
    last[:-1] = face[1:] != face[:-1]
    gain[face[last]] = held[last] - own[face[last]]
    wish[face[last]] = other[last]
    return gain, wish
