"""Areas that grow from marked faces until they meet."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.surface import Surface

Ints = NDArray[np.int32]


def flooded(surface: Surface, face: NDArray[np.integer], label: NDArray[np.integer]) -> Ints:
    """Give each face the label of the marked face that is nearest in the surface's metric.

    Parameters
    ----------
    surface : the net of faces.
    face : (marks,) int, marked faces, each once.
    label : (marks,) int, >= 0.

    Returns
    -------
    label_of_face : (faces,) int32; -1 on shells that have no mark.

    Notes
    -----
    Holds exactly: the order of the marks does not matter; a shell with a mark takes labels from
    its own marks only.

    References
    ----------
    Dijkstra (1959), "A note on two problems in connexion with graphs", Numerische Mathematik 1.
    """
    nearest, _ = nearest_mark(surface, face)
    labels = np.full(len(surface.faces), -1, np.int32)
    if len(face):
        of_face = np.full(len(surface.faces), -1, np.int32)
        of_face[face] = label
        reached = nearest >= 0
        labels[reached] = of_face[nearest[reached]]
    return labels


def nearest_mark(surface: Surface, face: NDArray[np.integer]) -> tuple[Ints, NDArray[np.float64]]:
    """For each face the marked face that is nearest in the metric (-1: none), and how far."""
    from scipy.sparse.csgraph import dijkstra

    count = len(surface.faces)
    if not len(face):
        return np.full(count, -1, np.int32), np.full(count, np.inf)
    distance, _, source = dijkstra(
        surface.net,
        directed=True,
        indices=np.unique(face),
        min_only=True,
        return_predecessors=True,
    )
    return np.where(source >= 0, source, -1).astype(np.int32), distance
