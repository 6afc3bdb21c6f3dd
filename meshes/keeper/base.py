"""The rock he stands on: split boulders bounded by planes, then cracked and weathered."""

import numpy as np

from . import pose
from .sdf import Array, Part, norm, smax, value_noise, vec


class Boulder:
    """A convex stone: an ellipsoid's worth of random facets."""

    def __init__(
        self,
        centre: tuple[float, float, float],
        size: tuple[float, float, float],
        seed: int,
        top: float | None = None,
        facets: int = 16,
    ) -> None:
        """Scatter facets around ``centre``; ``top`` adds a level tread at that height."""
        rng = np.random.default_rng(seed)
        k = np.arange(facets) + 0.5
        polar = np.arccos(1.0 - 2.0 * k / facets)
        turn = np.pi * (1.0 + 5.0**0.5) * k + rng.uniform(0, 6.28)
        n = np.stack(
            [np.cos(turn) * np.sin(polar), np.sin(turn) * np.sin(polar), np.cos(polar)], axis=1
        )
        n += rng.normal(0.0, 0.22, n.shape)
        n /= np.linalg.norm(n, axis=1)[:, None]
        reach = np.linalg.norm(n * np.asarray(size), axis=1) * rng.uniform(0.82, 1.0, facets)
        self.centre = vec(centre)
        if top is not None:
            n = np.vstack([n, [0.02, -0.03, 1.0]])
            reach = np.append(reach, top - centre[2])
        self.normal = n.astype(np.float32)
        self.reach = reach.astype(np.float32)
        self.reach_all = float(np.max(size)) * 1.6

    def field(self, p: Array) -> Array:
        """Distance to the stone."""
        q = p - self.centre
        out = np.full(len(p), -1e3, dtype=np.float32)
        for n, r in zip(self.normal, self.reach, strict=True):
            out = smax(out, q @ n - r, 0.14)
        return out


STONES = [
    Boulder((0.0, 0.0, 0.6), (13.6, 13.0, 3.6), 101, top=2.9, facets=40),
    Boulder((2.6, 0.6, 2.6), (6.6, 6.4, 4.6), 102, top=5.95),
    Boulder((-4.4, -4.9, 4.0), (5.0, 5.6, 7.0), 103, top=9.55),
    Boulder((-7.0, 3.6, 2.0), (5.2, 5.2, 4.6), 104),
    Boulder((8.4, -3.6, 1.6), (4.6, 4.8, 3.6), 105),
    Boulder((2.0, 8.6, 1.6), (6.0, 4.4, 4.0), 106),
    Boulder((2.4, -8.6, 1.2), (4.6, 4.0, 3.4), 107),
    Boulder((8.6, 5.6, 1.2), (4.0, 4.2, 3.2), 108),
    Boulder((-10.4, -1.6, 1.2), (2.8, 3.4, 2.8), 109),
]
_CUT = [
    ((0.86, 0.42, 0.28), 1.6, 0.22),
    ((-0.35, 0.9, 0.2), -3.9, 0.2),
    ((0.75, -0.6, 0.3), -1.2, 0.2),
    ((0.2, 0.95, -0.25), 3.4, 0.2),
    ((-0.9, 0.3, 0.35), 7.2, 0.2),
]


def rock(p: Array) -> Array:
    """All boulders, split by clefts, layered, pitted, and flat below."""
    bend = 0.3 * value_noise(p, 3.1, 7)
    layer = np.mod((p @ vec((0.16, -0.1, 0.98)) + bend) / 1.35, 1.0)
    step = 0.16 * (np.abs(layer - 0.5) * 2.0) ** 3
    grit = 0.10 * value_noise(p, 0.9, 8) + 0.05 * value_noise(p, 0.42, 9)
    d = np.full(len(p), 1e3, dtype=np.float32)
    for stone in STONES:
        d = np.minimum(d, stone.field(p))
    tread = np.minimum(
        norm((p - pose.FOOT_L.origin) * vec((1, 1, 3))),
        norm((p - pose.FOOT_R.origin) * vec((1, 1, 3))),
    )
    calm = np.clip((tread - 1.5) / 3.0, 0.15, 1.0)
    d = d + step * calm - grit * calm
    for normal, at, width in _CUT:
        n = vec(normal) / np.float32(np.linalg.norm(normal))
        wander = 0.5 * value_noise(p, 2.3, 12) + 0.2 * value_noise(p, 0.8, 13)
        cleft = np.abs(p @ n - at + wander) - width
        d = smax(d, -np.maximum(cleft, -(d + 0.7)), 0.1)
    ring = np.hypot(p[:, 0], p[:, 1]) - 14.7
    return smax(smax(d, ring, 0.3), -p[:, 2], 0.02)


def parts() -> list[Part]:
    """The base."""
    return [Part("rock", rock)]
