"""Spread tone within each area, so that small parts in the shade show light and shadow too.

Painters do so: a belt buckle in the shadow of a cloak still gets its highlight.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.light.lightmap import Levels

_BINS = 512
_TAIL = 0.01
_FLAT = 0.1
_RANK = 0.75


def spread_within_areas(
    tone: Levels, area: NDArray[np.int32], areas: int, size: Levels, amount: float
) -> Levels:
    """Tone stretched within each area towards the whole of [0, 1].

    The new tone is a quarter the old one stretched from its 1st to its 99th percentile, three
    quarters its rank, both by size, so that shadow, mid-tone and highlight get about the shares of
    the area that their tones span; `amount` blends it with the old one. Order within an area stays.

    Parameters
    ----------
    tone : (faces,) float32, in [0, 1].
    area : (faces,) int32.
    areas : how many areas there are.
    size : (faces,) float32, mm²; 0 for faces that shall not count.
    amount : in [0, 1]; 0 gives `tone` back.

    Returns
    -------
    tone : (faces,) float32, in [0, 1].

    Notes
    -----
    Holds exactly: amount 0 changes nothing. Leaves out: an area whose tone spans less than 0.1
    has hardly any light and shadow to spread, and gets its share of the stretch only.
    """
    if amount <= 0 or len(tone) == 0:
        return tone
    where = tone * np.float32(_BINS)
    low = np.minimum(where.astype(np.int32), _BINS - 1)
    share = where - low
    counts = np.bincount(area * _BINS + low, size.astype(np.float64), areas * _BINS)
    held: NDArray[np.float64] = counts.astype(np.float64).reshape(areas, _BINS)
    table = np.stack([_stretched(row, amount) for row in held]).astype(np.float32).ravel()
    index = area * (_BINS + 1) + low
    below = table[index]
    return below + (table[index + 1] - below) * share


def _stretched(held: NDArray[np.float64], amount: float) -> NDArray[np.float64]:
    """The new tone at each edge between bins, for one area's mm² in each bin."""
    edges = np.linspace(0.0, 1.0, _BINS + 1)
    total = held.sum()
    if total <= 0:
        return edges
    below = np.concatenate([[0.0], np.cumsum(held)]) / total
    dark, light = np.interp([_TAIL, 1 - _TAIL], below + 1e-12 * edges, edges)
    span = max(light - dark, 1.0 / _BINS)
    linear = np.clip((edges - dark) / span, 0.0, 1.0)
    rank = np.clip((below - _TAIL) / (1 - 2 * _TAIL), 0.0, 1.0)
    used = amount * min(1.0, span / _FLAT)
    spread = (1 - _RANK) * linear + _RANK * rank
    return np.asarray((1 - used) * edges + used * spread, dtype=np.float64)
