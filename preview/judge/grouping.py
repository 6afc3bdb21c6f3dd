"""Sums and weighted medians, many groups at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def sums(group: NDArray[np.integer], weights: NDArray[np.floating], groups: int) -> Floats:
    """The sum of each group's weights, (groups,) float64.

    Parameters
    ----------
    group : (n,) int in [0, groups).
    weights : (n,) float.
    """
    return np.asarray(np.bincount(group, weights, groups), np.float64)


def weighted_medians(
    values: NDArray[np.floating],
    weights: NDArray[np.floating],
    group: NDArray[np.integer],
    groups: int,
) -> Floats:
    """The value of each group below and above which half of its weight lies.

    Parameters
    ----------
    values, weights : (n,) float; weights >= 0.
    group : (n,) int in [0, groups).

    Returns
    -------
    (groups,) float64; NaN for a group without weight.
    """
    order = np.lexsort((values, group))
    value, weight, which = values[order], weights[order].astype(np.float64), group[order]
    total = np.bincount(which, weights=weight, minlength=groups)
    before = np.concatenate([[0.0], np.cumsum(total)])
    within = np.cumsum(weight) - before[which]
    past_half = (within >= 0.5 * total[which] * (1.0 - 1e-12)) & (weight > 0)
    out = np.full(groups, np.nan)
    hits = np.flatnonzero(past_half)[::-1]
    out[which[hits]] = value[hits]
    return out
