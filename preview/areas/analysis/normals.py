"""Normals spread over the surface, so that fine texture no longer turns them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from scipy.sparse import csr_array

Floats = NDArray[np.float64]

_STEPS = 2
_ROUNDS = 40
_GOOD = 3e-3
_LEAST_STEP = 0.25


def spread_normals(
    normal: Floats,
    area: Floats,
    left: NDArray[np.int32],
    right: NDArray[np.int32],
    edge: Floats,
    step: Floats,
    reach: float,
) -> Floats:
    """Let normals diffuse over the surface until each is a mean over about `reach`.

    Heat flows between faces through their common edge, as much as the edge is long and the middles
    are near; so fine and coarse meshes of one figure end with nearly the same normals.

    Parameters
    ----------
    normal : (faces, 3) unit vectors.
    area : (faces,) size, in the square of the unit of the lengths.
    left, right : (pairs,) faces that share an edge.
    edge, step : (pairs,) the edge's length; the distance of the two middles.
    reach : >= 0, standard deviation of the spreading.

    Returns
    -------
    spread : (faces, 3) float64 unit vectors.
    """
    from scipy.sparse import coo_array

    if reach <= 0 or not len(left):
        return normal
    count = len(normal)
    time = reach**2 / (2 * _STEPS)
    # Slivers nearly touch their neighbours' middles; a floor keeps the solving short.
    flow = time * edge / np.maximum(step, _LEAST_STEP * float(np.median(step)))
    out = np.bincount(left, flow, count) + np.bincount(right, flow, count)
    mass = np.maximum(area, 1e-12)
    both = (np.concatenate((left, right)), np.concatenate((right, left)))
    flows = coo_array((np.concatenate((flow, flow)), both), shape=(count, count)).tocsr()
    spread = normal
    for _ in range(_STEPS):
        spread = _solved(flows, mass + out, mass[:, None] * spread, spread)
    length = np.sqrt(np.einsum("ij,ij->i", spread, spread))
    return np.where(length[:, None] > 1e-6, spread / np.maximum(length, 1e-6)[:, None], normal)


def _solved(flows: csr_array, diagonal: Floats, wanted: Floats, start: Floats) -> Floats:
    """x with diagonal * x - flows @ x = wanted, by conjugate gradients, columns side by side."""
    x = start.copy()
    weight = 1.0 / diagonal[:, None]
    rest = wanted - (diagonal[:, None] * x - flows @ x)
    ahead = weight * rest
    along = ahead.copy()
    size = np.einsum("ij,ij->j", rest, ahead)
    goal = _GOOD**2 * np.maximum(np.einsum("ij,ij->j", wanted, weight * wanted), 1e-30)
    for _ in range(_ROUNDS):
        if (size <= goal).all():
            break
        pushed = diagonal[:, None] * along - flows @ along
        stride = size / np.maximum(np.einsum("ij,ij->j", along, pushed), 1e-30)
        x += stride * along
        rest -= stride * pushed
        ahead = weight * rest
        fresh = np.einsum("ij,ij->j", rest, ahead)
        along = ahead + (fresh / np.maximum(size, 1e-30)) * along
        size = fresh
    return x
