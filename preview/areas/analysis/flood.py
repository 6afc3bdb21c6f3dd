"""Areas that grow from marked faces until they meet."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.surface import Surface

Ints = NDArray[np.int32]


def flooded(
    surface: Surface,
    face: NDArray[np.integer],
    label: NDArray[np.integer],
    behind: NDArray[np.float64] | None = None,
) -> Ints:
    """Give each face the label of the marked face that is nearest in the surface's metric.

    Parameters
    ----------
    surface : the net of faces.
    face : (marks,) int, marked faces, each once.
    label : (marks,) int, >= 0.
    behind : (marks,) float64, reference mm, >= 0, by how much a mark comes after others; None is 0.

    Returns
    -------
    label_of_face : (faces,) int32; -1 on shells that have no mark.

    Notes
    -----
    Holds exactly: the order of the marks does not matter; a shell with a mark takes labels from
    its own marks only.
    """
    ways = surface.ways()
    ways.add(face, behind)
    labels = np.full(len(surface.faces), -1, np.int32)
    if len(face):
        of_face = np.full(len(surface.faces), -1, np.int32)
        of_face[face] = label
        reached = ways.nearest >= 0
        labels[reached] = of_face[ways.nearest[reached]]
    return labels
