"""Every ratio that a few paints can be mixed in by whole drops."""

from __future__ import annotations

from functools import cache
from itertools import combinations

import numpy as np
from numpy.typing import NDArray


def distinct_ratios(paints: int, most_drops: int) -> NDArray[np.int64]:
    """(ratios, paints) whole drops: every ratio of at most so many drops, once, in lowest terms.

    Parameters
    ----------
    paints : at least 1. Three paints and 8 drops make 118 ratios, four make 407, five 1,136.
    most_drops : of all paints together, at least 1.
    """
    # Bars among drops: before each bar lie one paint's; those behind the last are left over.
    bars = np.array(list(combinations(range(most_drops + paints), paints)), dtype=np.int64)
    drops = np.diff(bars, axis=1, prepend=-1) - 1
    return np.asarray(drops[np.gcd.reduce(drops, axis=1) == 1])


@cache
def full_ratios(paints: int, most_drops: int) -> NDArray[np.int64]:
    """Those of `distinct_ratios` with at least a drop of every paint; read only.

    Parameters
    ----------
    paints, most_drops : as there. One to four paints and 8 drops make 1, 21, 52 and 69 ratios.
    """
    ratios = distinct_ratios(paints, most_drops)
    full = np.asarray(ratios[ratios.min(axis=1) > 0])
    full.flags.writeable = False
    return full
