"""Where separate shells of a figure touch each other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.surface import Surface
from preview.areas.points import points_on
from preview.shape.neighbours import joined

Ints = NDArray[np.int32]
Floats = NDArray[np.float64]

_SPACING = 0.4
# Reference mm within which places count as one: layers of paint and prints hide a gap like that,
# and points are sampled no closer. A choice of ours.
TOUCH = 0.4


@dataclass(frozen=True, eq=False)
class Contacts:
    """Pairs of faces on different shells that touch.

    one, other : (contacts,) int32 faces; each pair of places once, one on the lower shell.
    """

    one: Ints
    other: Ints


def contacts_of(surface: Surface) -> Contacts:
    """Find where shells touch: where points of their faces lie within 0.4 reference mm."""
    from scipy.spatial import cKDTree

    none = np.zeros(0, np.int32)
    if surface.shells < 2:
        return Contacts(none, none)
    reach = TOUCH / surface.metric.scale
    points, face = points_on(surface.vertices, surface.faces, _SPACING / surface.metric.scale)
    some = _one_a_cell(points, surface.shell[face], 0.5 * reach)
    points, face = points[some], face[some]
    near = _near_other_shells(surface, points, face, reach)
    points, face = points[near], face[near]
    pairs = cKDTree(points).query_pairs(reach, output_type="ndarray")
    pairs = pairs[surface.shell[face[pairs[:, 0]]] != surface.shell[face[pairs[:, 1]]]]
    pairs = _nearest_only(points, pairs)
    a, b = face[pairs[:, 0]], face[pairs[:, 1]]
    swap = surface.shell[a] > surface.shell[b]
    both = np.stack((np.where(swap, b, a), np.where(swap, a, b)), axis=1)
    both = np.unique(both, axis=0) if len(both) else both
    return Contacts(both[:, 0].astype(np.int32), both[:, 1].astype(np.int32))


def _one_a_cell(points: Floats, shell: Ints, cell: float) -> NDArray[np.int64]:
    """Of the points of a shell in each cell of a grid the first."""
    place = np.floor((points - points.min(axis=0)) / cell).astype(np.int64)
    wide = place.max(axis=0) + 1
    key = ((place[:, 0] * wide[1] + place[:, 1]) * wide[2] + place[:, 2]) * (int(shell.max()) + 1)
    _, first = np.unique(key + shell, return_index=True)
    return np.sort(first)


def _nearest_only(points: Floats, pairs: NDArray[np.int64]) -> NDArray[np.int64]:
    """Of all pairs of points that touch, for each point the pair with the nearest other."""
    away = np.linalg.norm(points[pairs[:, 0]] - points[pairs[:, 1]], axis=1)
    kept = np.zeros(len(pairs), np.bool_)
    for column in (0, 1):
        order = np.lexsort((away, pairs[:, column]))
        _, first = np.unique(pairs[order, column], return_index=True)
        kept[order[first]] = True
    return pairs[kept]


def bridges_of(surface: Surface, contacts: Contacts) -> Contacts:
    """One pair of faces for each two shells that touch, and one to what stands alone.

    What touches nothing is tied to the nearest face of the largest group of shells.
    """
    one, other = _one_each(surface, contacts)
    count, group = joined(surface.shells, surface.shell[one], surface.shell[other])
    if count > 1:
        more = _to_the_largest(surface, group, count)
        one, other = np.concatenate((one, more[0])), np.concatenate((other, more[1]))
    return Contacts(one, other)


def hosts_of(surface: Surface, contacts: Contacts, labels: Ints) -> Ints:
    """Give shells without a label, or what is bare of one, that of the shells they touch.

    What is bare of a shell takes, as a whole, the label that touches it most; shells that touch
    only such shells come next, and so on. What touches it counts less the less it is of the shell's
    own size: a strand of hair names no body, and goes with other strands rather than with the head.

    Parameters
    ----------
    labels : (faces,) int32, -1 where there is none.

    Returns
    -------
    labels : (faces,) int32, -1 on shells that touch nothing labelled.
    """
    labels = labels.copy()
    both = (
        np.concatenate((contacts.one, contacts.other)),
        np.concatenate((contacts.other, contacts.one)),
    )
    size = np.maximum(np.bincount(surface.shell, surface.mm2, surface.shells), 1e-12)
    ratio = size[surface.shell[both[1]]] / size[surface.shell[both[0]]]
    weight = np.minimum(ratio, 1.0 / ratio)
    while True:
        open_ended = (labels[both[0]] < 0) & (labels[both[1]] >= 0)
        if not open_ended.any():
            return labels
        shell, label = surface.shell[both[0][open_ended]], labels[both[1][open_ended]]
        votes, vote = np.unique(np.stack((shell, label), axis=1), axis=0, return_inverse=True)
        count = np.bincount(vote.ravel(), weight[open_ended], len(votes))
        # Equal votes go by the figure's own faces: the order of names must change nothing.
        lowest = np.full(len(votes), len(labels), np.int64)
        np.minimum.at(lowest, vote.ravel(), both[1][open_ended])
        order = np.lexsort((lowest, -count, votes[:, 0]))
        shells, first = np.unique(votes[order, 0], return_index=True)
        given = np.full(surface.shells, -1, np.int32)
        given[shells] = votes[order, 1][first]
        fresh = (labels < 0) & (given[surface.shell] >= 0)
        labels[fresh] = given[surface.shell[fresh]]


def _one_each(surface: Surface, contacts: Contacts) -> tuple[Ints, Ints]:
    """Of the contacts of each two shells the one in the middle of the list."""
    if not len(contacts.one):
        return contacts.one, contacts.other
    key = surface.shell[contacts.one].astype(np.int64) * surface.shells
    key += surface.shell[contacts.other]
    order = np.argsort(key, kind="stable")
    _, first, count = np.unique(key[order], return_index=True, return_counts=True)
    middle = order[first + count // 2]
    return contacts.one[middle], contacts.other[middle]


def _to_the_largest(surface: Surface, group: Ints, count: int) -> tuple[Ints, Ints]:
    """For every other group the face nearest to the largest group, and that group's face."""
    from scipy.spatial import cKDTree

    of_face = group[surface.shell]
    largest = int(np.argmax(np.bincount(of_face, surface.mm2, count)))
    inside = np.flatnonzero(of_face == largest)
    rest = np.flatnonzero(of_face != largest)
    found = cKDTree(surface.centre[inside]).query(surface.centre[rest])
    distance, near = (np.asarray(one) for one in found)
    order = np.lexsort((distance, of_face[rest]))
    _, first = np.unique(of_face[rest][order], return_index=True)
    chosen = order[first]
    return rest[chosen].astype(np.int32), inside[near[chosen]].astype(np.int32)


def _near_other_shells(
    surface: Surface, points: Floats, face: Ints, reach: float
) -> NDArray[np.bool_]:
    """The points of all shells but the largest, and those of the largest near any of them."""
    from scipy.spatial import cKDTree

    largest = int(np.argmax(np.bincount(surface.shell, surface.mm2, surface.shells)))
    near = surface.shell[face] != largest
    rest = np.flatnonzero(~near)
    low, high = points[near].min(axis=0) - reach, points[near].max(axis=0) + reach
    rest = rest[((points[rest] >= low) & (points[rest] <= high)).all(axis=1)]
    if len(rest):
        distance, _ = cKDTree(points[near]).query(points[rest], distance_upper_bound=reach)
        near[rest[np.isfinite(distance)]] = True
    return np.asarray(near, dtype=np.bool_)
