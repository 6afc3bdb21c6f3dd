"""Every ratio that a few paints can be mixed in by whole drops."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def distinct_ratios(paints: int, most_drops: int) -> NDArray[np.int64]:
    """(ratios, paints) whole drops: every ratio of at most so many drops, once, in lowest terms.

    Parameters
    ----------
    paints : at least 1. Three paints and 8 drops make 118 ratios, four make 407, five 1,136.
    most_drops : of all paints together, at least 1.
    """
    grid = np.indices((most_drops + 1,) * paints).reshape(paints, -1).T
    few = grid[grid.sum(axis=1) <= most_drops]
    return np.asarray(few[np.gcd.reduce(few, axis=1) == 1], dtype=np.int64)
