"""A surface in some hundred patches that no crease crosses: the small change of all proposals."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.surface import Surface
from preview.shape.compiled import compiled

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
    ways, taken = surface.ways(), len(centres)
    ways.add(centres)
    while taken < wanted:
        fresh = _farthest(ways.nearest, np.where(allowed, ways.distance, -1.0))
        fresh = fresh[: min(wanted - taken, max(8, int(_AT_ONCE * taken)))]
        if not len(fresh):
            break
        ways.add(fresh)
        taken += len(fresh)
    names, patch = np.unique(ways.nearest, return_inverse=True)
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
    top = np.full(len(cell), -1, np.int64)
    _tops(cell, distance, top)
    tops = top[top >= 0]
    return tops[np.lexsort((cell[tops], -distance[tops]))]


@compiled
def _tops(cell: Ints, distance: NDArray[np.float64], top: NDArray[np.int64]) -> None:
    """Fill in each cell's farthest face, the first of equally far ones; -1 where none is allowed.

    distance : at most 0 where a face is not allowed.
    """
    for face in range(len(cell)):
        if distance[face] > 0.0:
            held = top[cell[face]]
            if held < 0 or distance[face] > distance[held]:
                top[cell[face]] = face
