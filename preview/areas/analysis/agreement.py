"""How far two ways of dividing a surface agree."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.integer]


def rand_index(one: Ints, other: Ints) -> float:
    """The share of pairs of faces on which two divisions agree: both together, or both apart.

    Parameters
    ----------
    one, other : (faces,) int, >= 0; the numbers themselves mean nothing. At least two faces.

    References
    ----------
    Rand (1971), "Objective criteria for the evaluation of clustering methods", Journal of the
    American Statistical Association 66; from memory.
    """
    both, first, second = (_pairs(table) for table in _tables(one, other, None))
    every = len(one) * (len(one) - 1) / 2.0
    return float((every + 2 * both - first - second) / every)


def hamming_distance(one: Ints, other: Ints, size: Floats) -> float:
    """The share of size in regions' parts that lie outside the region they overlap most.

    The mean of both directions, of `one` against `other` and back; 0 when they are the same.

    Parameters
    ----------
    one, other : (faces,) int, >= 0.
    size : (faces,) float, >= 0.

    References
    ----------
    Huang and Dom (1995), "Quantitative methods of evaluating image segmentation", ICIP; from
    memory.
    """
    table = _tables(one, other, size)[0]
    whole = float(table.sum())
    forth = whole - float(table.max(axis=0).sum())
    back = whole - float(table.max(axis=1).sum())
    return (forth + back) / 2 / whole


def share_right(found: Ints, truth: Ints, size: Floats) -> float:
    """The share of size whose label is the true one; here the numbers count."""
    return float(size[found == truth].sum() / size.sum())


def mean_overlap(found: Ints, truth: Ints, size: Floats) -> float:
    """Intersection over union of each true label with the same label found, averaged."""
    shares = []
    for label in np.unique(truth):
        a, b = found == label, truth == label
        shares.append(float(size[a & b].sum() / size[a | b].sum()))
    return float(np.mean(shares))


def nameable_share(regions: Ints, truth: Ints, size: Floats) -> float:
    """The share that is right when every region gets the name of most of it."""
    return float(_tables(regions, truth, size)[0].max(axis=1).sum() / size.sum())


def _tables(one: Ints, other: Ints, size: Floats | None) -> tuple[Floats, Floats, Floats]:
    """How much each two regions share, and the sizes of both sides' regions."""
    _, a = np.unique(one, return_inverse=True)
    _, b = np.unique(other, return_inverse=True)
    wide = int(b.max()) + 1
    counted = np.bincount(a.ravel() * wide + b.ravel(), size, (int(a.max()) + 1) * wide)
    table = counted.reshape(-1, wide).astype(np.float64)
    return table, table.sum(axis=1), table.sum(axis=0)


def _pairs(counts: Floats) -> float:
    """How many pairs there are within each of some groups, in all."""
    return float((counts * (counts - 1) / 2).sum())
