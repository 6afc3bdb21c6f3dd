"""Areas that grow from marked faces until they meet."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.surface import Surface
from preview.shape.net import Ways

Ints = NDArray[np.int32]
Floats = NDArray[np.float64]


def flooded(
    surface: Surface,
    face: NDArray[np.integer],
    label: NDArray[np.integer],
    behind: Floats | None = None,
    reach: Floats | None = None,
) -> Ints:
    """Give each face the label of the marked face that is nearest in the surface's metric.

    Parameters
    ----------
    surface : the net of faces.
    face : (marks,) int, marked faces, each once.
    label : (marks,) int, >= 0.
    behind : (marks,) float64, reference mm, >= 0, by how much a mark comes after others; None is 0.
    reach : (marks,) float64, mm, > 0, how far straight from it a mark may grow, together with the
        others of its label and reach; infinite, or None, as far as it can.

    Returns
    -------
    label_of_face : (faces,) int32; -1 on shells that have no mark, and beyond the reach of all.

    Notes
    -----
    Holds exactly: the order of the marks does not matter; a shell with a mark takes labels from
    its own marks only; of those within whose reach it lies, a face takes the nearest, whatever
    another one with less reach took in between.
    """
    begun = np.zeros(len(face)) if behind is None else behind
    limit = np.full(len(face), np.inf) if reach is None else reach
    ways, far = surface.ways(), np.isinf(limit)
    ways.add(face[far], begun[far])
    groups = np.stack((label, limit), axis=1)
    for group in np.unique(groups[~far], axis=0):
        here = (groups == group).all(axis=1)
        _grow_within(surface, face[here], begun[here], float(group[1]), ways)
    labels = np.full(len(surface.faces), -1, np.int32)
    of_face = np.full(len(surface.faces), -1, np.int32)
    of_face[face] = label
    reached = ways.nearest >= 0
    labels[reached] = of_face[ways.nearest[reached]]
    return labels


def _grow_within(
    surface: Surface, face: NDArray[np.integer], behind: Floats, reach: float, ways: Ways
) -> None:
    """Let marks take what lies within their reach and is nearer to them than to others so far."""
    which = _around(surface, surface.centre[face], reach)
    own = Ways(surface.net.among(which), surface.cost)
    own.add(np.searchsorted(which, face), behind)
    reached = own.nearest >= 0
    at, distance, nearest = which[reached], own.distance[reached], which[own.nearest[reached]]
    same = (distance == ways.distance[at]) & (nearest < ways.nearest[at])
    won = (distance < ways.distance[at]) | same
    ways.distance[at[won]], ways.nearest[at[won]] = distance[won], nearest[won]


def _around(surface: Surface, centres: Floats, radius: float) -> NDArray[np.int64]:
    """The faces, in order, whose middles lie within a radius of any of some places."""
    from scipy.spatial import cKDTree

    low, high = centres.min(axis=0), centres.max(axis=0)
    around = float(np.linalg.norm(high - low)) / 2 + radius
    near = np.sort(surface.by_place.query_ball_point((low + high) / 2, 1.0001 * around))
    # A search that may end beyond the radius is quick where most lies far off.
    away = cKDTree(centres).query(surface.centre[near], distance_upper_bound=1.0001 * radius)[0]
    return np.asarray(near[away <= radius], dtype=np.int64)
