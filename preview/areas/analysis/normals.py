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


def _solved(net: Net, flow: Floats, mass: Floats, start: Floats) -> Floats:
    """x with (mass + all flow out) * x - flow of the neighbours' x = mass * start."""
    x = start.copy()
    rest, along, pushed = np.empty_like(x), np.empty_like(x), np.empty_like(x)
    diagonal = np.empty(len(mass))
    _solve(
        net.start, net.other, flow[net.link], mass, start, x, rest, along, pushed, diagonal,
        _ROUNDS, _GOOD,
    )  # fmt: skip
    return x


@compiled
def _solve(
    start: Ints,
    other: Ints,
    flow: Floats,
    mass: Floats,
    before: Floats,
    x: Floats,
    rest: Floats,
    along: Floats,
    pushed: Floats,
    diagonal: Floats,
    rounds: int,
    good: float,
) -> None:
    """Solve by conjugate gradients, divided by the diagonal, three columns side by side.

    x : begins as a guess.
    rest, along, pushed, diagonal : room for what is worked out.
    """
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
    for _ in range(rounds):
        done = True
        for k in range(3):
            done = done and size[k] <= good * good * max(wanted[k], 1e-30)
        if done:
            break
        a, b, c = 0.0, 0.0, 0.0
        for i in range(len(mass)):
            p, q, r = (
                diagonal[i] * along[i, 0],
                diagonal[i] * along[i, 1],
                diagonal[i] * along[i, 2],
            )
            for entry in range(start[i], start[i + 1]):
                j, much = other[entry], flow[entry]
                p -= much * along[j, 0]
                q -= much * along[j, 1]
                r -= much * along[j, 2]
            pushed[i, 0], pushed[i, 1], pushed[i, 2] = p, q, r
            a += along[i, 0] * p
            b += along[i, 1] * q
            c += along[i, 2] * r
        a, b, c = size[0] / max(a, 1e-30), size[1] / max(b, 1e-30), size[2] / max(c, 1e-30)
        d, e, f = 0.0, 0.0, 0.0
        for i in range(len(mass)):
            weight = 1.0 / diagonal[i]
            x[i, 0] += a * along[i, 0]
            x[i, 1] += b * along[i, 1]
            x[i, 2] += c * along[i, 2]
            rest[i, 0] -= a * pushed[i, 0]
            rest[i, 1] -= b * pushed[i, 1]
            rest[i, 2] -= c * pushed[i, 2]
            d += rest[i, 0] * rest[i, 0] * weight
            e += rest[i, 1] * rest[i, 1] * weight
            f += rest[i, 2] * rest[i, 2] * weight
        p, q, r = d / max(size[0], 1e-30), e / max(size[1], 1e-30), f / max(size[2], 1e-30)
        for i in range(len(mass)):
            weight = 1.0 / diagonal[i]
            along[i, 0] = rest[i, 0] * weight + p * along[i, 0]
            along[i, 1] = rest[i, 1] * weight + q * along[i, 1]
            along[i, 2] = rest[i, 2] * weight + r * along[i, 2]
        size[0], size[1], size[2] = d, e, f
