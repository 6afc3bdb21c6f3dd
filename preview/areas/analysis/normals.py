"""Normals spread over the surface, so that fine texture no longer turns them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.shape.compiled import compiled
from preview.shape.net import Net

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

_STEPS = 2
_ROUNDS = 40
_GOOD = 3e-3
_LEAST_STEP = 0.25


def spread_normals(
    normal: Floats, area: Floats, net: Net, edge: Floats, step: Floats, reach: float
) -> Floats:
    """Let normals diffuse over the surface until each is a mean over about `reach`.

    Heat flows between faces through their common edge, as much as the edge is long and the middles
    are near; so fine and coarse meshes of one figure end with nearly the same normals.

    Parameters
    ----------
    normal : (faces, 3) unit vectors.
    area : (faces,) size, in the square of the unit of the lengths.
    net : of the faces, tied where they share an edge.
    edge, step : (links,) the edge's length; the distance of the two middles.
    reach : >= 0, standard deviation of the spreading.

    Returns
    -------
    spread : (faces, 3) float64 unit vectors.
    """
    if reach <= 0 or not len(edge):
        return normal
    time = reach**2 / (2 * _STEPS)
    # Slivers nearly touch their neighbours' middles; a floor keeps the solving short.
    flow = time * edge / np.maximum(step, _LEAST_STEP * float(np.median(step)))
    mass = np.maximum(area, 1e-12)
    spread = normal
    for _ in range(_STEPS):
        spread = _solved(net, flow, mass, spread)
    length = np.sqrt(np.einsum("ij,ij->i", spread, spread))
    return np.where(length[:, None] > 1e-6, spread / np.maximum(length, 1e-6)[:, None], normal)


def _solved(net: Net, flow: Floats, mass: Floats, before: Floats) -> Floats:
    """x with (mass + all flow out) * x - flow of the neighbours' x = mass * before."""
    x = before.copy()
    _solve(net.start, net.other, flow[net.link], mass, before, x)
    return x


@compiled
def _solve(start: Ints, other: Ints, flow: Floats, mass: Floats, before: Floats, x: Floats) -> None:
    """Solve by conjugate gradients, divided by the diagonal, three columns side by side.

    x : begins as a guess.
    """
    diagonal = np.empty(len(mass))
    rest, along, pushed = np.empty(x.shape), np.empty(x.shape), np.empty(x.shape)
    size, wanted = np.zeros(3), np.zeros(3)
    for i in range(len(mass)):
        whole = mass[i]
        for entry in range(start[i], start[i + 1]):
            whole += flow[entry]
        diagonal[i] = whole
        for k in range(3):
            near = 0.0
            for entry in range(start[i], start[i + 1]):
                near += flow[entry] * x[other[entry], k]
            aim = mass[i] * before[i, k]
            rest[i, k] = aim - (whole * x[i, k] - near)
            along[i, k] = rest[i, k] / whole
            size[k] += rest[i, k] * along[i, k]
            wanted[k] += aim * aim / whole
    met, left, stride, turn = np.empty(3), np.empty(3), np.empty(3), np.empty(3)
    for _ in range(_ROUNDS):
        if (size <= _GOOD * _GOOD * np.maximum(wanted, 1e-30)).all():
            break
        met[:] = 0.0
        for i in range(len(mass)):
            for k in range(3):
                pushed[i, k] = diagonal[i] * along[i, k]
            for entry in range(start[i], start[i + 1]):
                for k in range(3):
                    pushed[i, k] -= flow[entry] * along[other[entry], k]
            for k in range(3):
                met[k] += along[i, k] * pushed[i, k]
        for k in range(3):
            stride[k] = size[k] / max(met[k], 1e-30)
        left[:] = 0.0
        for i in range(len(mass)):
            weight = 1.0 / diagonal[i]
            for k in range(3):
                x[i, k] += stride[k] * along[i, k]
                rest[i, k] -= stride[k] * pushed[i, k]
                left[k] += rest[i, k] * rest[i, k] * weight
        for k in range(3):
            turn[k] = left[k] / max(size[k], 1e-30)
            size[k] = left[k]
        for i in range(len(mass)):
            weight = 1.0 / diagonal[i]
            for k in range(3):
                along[i, k] = rest[i, k] * weight + turn[k] * along[i, k]
