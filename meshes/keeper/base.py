"""The rock he stands on: split boulders bounded by planes, then cracked and weathered."""

import numpy as np

from . import pose
from .sdf import Array, Frame, Part, nearby, norm, smax, torus, unit, value_noise, vec


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
        self.radius = float(np.max(size)) * 1.35

    def field(self, p: Array) -> Array:
        """Distance to the stone."""
        return nearby(self._facets, norm(p - self.centre) - self.radius, p, 0.8)

    def _facets(self, p: Array) -> Array:
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
    ((0.86, 0.42, 0.28), 1.6, 0.15),
    ((-0.35, 0.9, 0.2), -3.9, 0.13),
    ((0.75, -0.6, 0.3), -1.2, 0.11),
    ((0.2, 0.95, -0.25), 3.4, 0.13),
    ((-0.9, 0.3, 0.35), 7.2, 0.13),
]


def rock(p: Array) -> Array:
    """All boulders, split by clefts, layered, pitted, and flat below."""
    bend = 0.6 * value_noise(p, 3.6, 7)
    layer = np.mod((p @ vec((0.16, -0.1, 0.98)) + bend) / 1.35, 1.0)
    step = 0.1 * (np.abs(layer - 0.5) * 2.0) ** 3
    grit = 0.13 * value_noise(p, 1.5, 8) + 0.035 * value_noise(p, 0.5, 9)
    d: Array = np.full(len(p), 1e3, dtype=np.float32)
    for stone in STONES:
        d = np.minimum(d, stone.field(p))
    tread = np.minimum(
        norm((p - pose.FOOT_L.origin) * vec((1, 1, 3))),
        norm((p - pose.FOOT_R.origin) * vec((1, 1, 3))),
    )
    calm: Array = np.clip((tread - 1.5) / 3.0, 0.15, 1.0)
    d = d + step * calm - grit * calm
    for normal, at, width in _CUT:
        n = vec(normal) / np.float32(np.linalg.norm(normal))
        wander = 0.5 * value_noise(p, 2.3, 12) + 0.2 * value_noise(p, 0.8, 13)
        cleft = np.abs(p @ n - at + wander) - width
        d = smax(d, -np.maximum(cleft, -(d + 0.55)), 0.1)
    ring = np.hypot(p[:, 0], p[:, 1]) - 14.7
    return smax(smax(d, ring, 0.3), -p[:, 2], 0.02)


def _meets(x: float, y: float, z: float, turn: float) -> tuple[Array, Array]:
    """Point and outward normal where a level ray from outside first meets the rock."""
    t = np.radians(turn)
    way = np.array([np.sin(t), -np.cos(t), 0.0])
    s = np.linspace(18.0, -6.0, 1200)[:, None]
    p = (np.array([x, y, z]) + s * way).astype(np.float32)
    at = p[int(np.argmax(rock(p) < 0.0))]
    probe = np.repeat(at[None], 6, axis=0)
    probe += 0.15 * np.concatenate([np.eye(3), -np.eye(3)]).astype(np.float32)
    d = rock(probe)
    n = d[:3] - d[3:]
    return at, (n / np.linalg.norm(n)).astype(np.float32)


def _barnacles() -> Part:
    """Clusters of barnacles above the tide line."""
    rng = np.random.default_rng(131)
    cones = []
    for turn, z, count in ((-34.0, 2.4, 13), (12.0, 1.7, 11), (66.0, 2.2, 9), (150.0, 2.2, 9)):
        for _ in range(count):
            t = turn + rng.normal(0.0, 5.5)
            at, n = _meets(0.0, 0.0, max(0.7, z + rng.normal(0.0, 0.8)), t)
            cones.append((at, n, rng.uniform(0.3, 0.52)))

    def field(p: Array) -> Array:
        out = np.full(len(p), 1e3, dtype=np.float32)
        for at, n, r in cones:
            q = p - at
            h = q @ n
            flat = np.sqrt(np.maximum(np.einsum("ij,ij->i", q, q) - h * h, 0.0))
            cone = np.maximum((flat - r + 0.62 * h) * 0.85, np.abs(h - 0.1) - 0.75 * r)
            crater = np.maximum(flat - 0.36 * r, 0.42 * r - h)
            out = np.minimum(out, np.maximum(cone, -crater))
        return out

    return Part("barnacles", field)


def _mooring() -> Part:
    """Hang an iron ring from a staple let into the rock."""
    at, n = _meets(0.0, 0.0, 2.9, 41.0)
    level = unit(np.cross((0.0, 0.0, 1.0), n))
    down = np.cross(level, n) * np.sign(np.cross(level, n)[2]) * -1.0
    eye = at + 0.3 * n
    frame = Frame.aimed(eye + 0.3 * n + 1.15 * down, level, n + 0.25 * down)
    staple = Frame.aimed(eye, down, level)

    def field(p: Array) -> Array:
        plate = norm((p - at) - ((p - at) @ n)[:, None] * n) - 0.8
        plate = smax(plate, np.abs((p - at) @ n) - 0.28, 0.08)
        d = np.minimum(plate, torus(frame.local(p), 0.0, 1.2, 0.27))
        return np.asarray(np.minimum(d, torus(staple.local(p), 0.0, 0.42, 0.22)))

    return Part("iron", field)


def parts() -> list[Part]:
    """Return the rock and what clings to it."""
    return [Part("rock", rock), _barnacles(), _mooring()]
