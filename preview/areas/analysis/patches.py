"""A surface in some hundred patches that no crease crosses: the small change of all proposals."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.flood import nearest_mark
from preview.areas.analysis.surface import Surface

Ints = NDArray[np.int32]

_AT_ONCE = 0.5


def patches_of(surface: Surface, count: int = 500) -> tuple[int, Ints]:
    """Part a surface into patches around centres far from each other in its metric.

    Parameters
    ----------
    surface : the net of faces.
    count : about how many; every shell has at least one.

    Returns
    -------
    patches : how many there are.
    patch : (faces,) int32, in [0, patches).

    Notes
    -----
    Leaves out: faces in creases are never centres, since they are far from everything.

    References
    ----------
    Gonzalez (1985), "Clustering to minimize the maximum intercluster distance", Theoretical
    Computer Science 38: take next what is farthest from all that were taken; from memory.
    """
    centres = _one_a_shell(surface)
    allowed = ~surface.creased
    wanted = max(count, len(centres))
    while True:
        nearest, distance = nearest_mark(surface, centres)
        if len(centres) >= wanted:
            break
        fresh = _farthest(nearest, np.where(allowed, distance, -1.0))
        room = wanted - len(centres)
        fresh = fresh[: min(room, max(8, int(_AT_ONCE * len(centres))))]
        if not len(fresh):
            break
        centres = np.concatenate((centres, fresh))
    names, patch = np.unique(nearest, return_inverse=True)
    return len(names), patch.astype(np.int32)


def _one_a_shell(surface: Surface) -> NDArray[np.int64]:
    """In each shell the face farthest from the middle of it."""
    whole = np.maximum(np.bincount(surface.shell, surface.mm2, surface.shells), 1e-30)
    middle = np.stack(
        [np.bincount(surface.shell, surface.mm2 * surface.centre[:, k], surface.shells) / whole
         for k in range(3)], axis=1,
    )  # fmt: skip
    far = np.linalg.norm(surface.centre - middle[surface.shell], axis=1)
    order = np.lexsort((-far, surface.shell))
    first = np.searchsorted(surface.shell[order], np.arange(surface.shells))
    return order[first]


def _farthest(cell: Ints, distance: NDArray[np.float64]) -> NDArray[np.int64]:
    """In each cell the face farthest from its centre, the farthest of all first."""
    order = np.lexsort((-distance, cell))
    first = np.ones(len(order), np.bool_)
    first[1:] = cell[order[1:]] != cell[order[:-1]]
    tops = order[first]
    tops = tops[distance[tops] > 0]
    return tops[np.argsort(-distance[tops], kind="stable")]
