"""Jumper, trousers, boots and belt."""

import numpy as np

from . import pose
from .body import front_of, torso
from .curves import Near, Tubes
from .sdf import Array, Frame, Part, Vec, blend, box, capsule, ellipsoid, smax, smin, vec

Fold = tuple[float, float, float, float, float]


def wrinkles(n: Near, folds: list[Fold]) -> Array:
    """Raise folds on a tube; each is (arc length, angle, slant, height, width)."""
    out = np.zeros_like(n.t)
    for t0, a0, slant, height, width in folds:
        a = np.mod(n.angle - a0 + np.pi, 2.0 * np.pi) - np.pi
        x = (n.t - t0 - slant * a + 0.12 * a * a) / width
        fade = np.clip(0.5 + 0.62 * np.cos(a), 0.0, 1.0)
        out += height * fade * (np.exp(-x * x) - 0.45 * np.exp(-((x - 1.5) ** 2)))
    return out


def scattered(
    seed: int, count: int, start: float, stop: float, height: float, width: float
) -> list[Fold]:
    """Folds scattered along a tube from a seed."""
    rng = np.random.default_rng(seed)
    out = []
    for i in range(count):
        t = start + (stop - start) * (i + rng.uniform(0.2, 0.8)) / count
        angle = rng.uniform(-np.pi, np.pi)
        slant = rng.uniform(-0.35, 0.35)
        grow = rng.uniform(0.7, 1.3)
        out.append((t, angle, slant, height * grow, width * rng.uniform(0.8, 1.25)))
    return out


def jumper(p: Array) -> Array:
    """Knitted trunk with a rolled neck."""
    d = torso(p) - 0.12
    x, z = p[:, 0], p[:, 2]
    rib = 0.5 + 0.5 * np.cos(2.0 * np.pi * x / 1.05)
    stitch = np.abs(np.mod(z / 0.62 + 0.9 * np.abs(np.mod(x / 1.05 + 0.5, 1.0) - 0.5), 1.0) - 0.5)
    d = d - 0.24 * rib * (0.5 + 1.0 * stitch)
    d = smax(d, 19.1 + 0.12 * np.sin(1.6 * x) - z, 0.2)
    q = p - vec((-0.05, 0.35, 30.35))
    flat = np.hypot(q[:, 0], q[:, 1] * 1.02 + 0.1)
    ang = np.arctan2(q[:, 1], q[:, 0])
    tilt = q[:, 2] - 0.12 * q[:, 1]
    roll = np.hypot(flat - 1.95, (tilt - 0.2) * 0.72) - 0.62
    under = np.hypot(flat - 2.15, (tilt + 0.75) * 0.8) - 0.6
    neck = smin(roll, under, 0.12) - 0.07 * np.cos(26.0 * ang)
    return smin(d, neck.astype(np.float32), 0.25)


_LEG_R = Tubes(
    [
        (
            [pose.HIP_R, (-3.2, -3.2, 17.9), pose.KNEE_R, (-4.0, -4.9, 15.3), (-4.05, -4.5, 13.6)],
            (2.3, 1.95, 1.62, 1.72, 1.15),
        )
    ]
)
_LEG_L = Tubes(
    [
        (
            [pose.HIP_L, (2.6, 0.1, 16.0), pose.KNEE_L, (2.85, 0.0, 11.5), (2.8, 0.3, 9.9)],
            (2.3, 1.95, 1.62, 1.68, 1.15),
        )
    ]
)
_FOLDS_R = [
    *scattered(3, 6, 1.0, 4.8, 0.28, 0.4),
    *scattered(4, 5, 4.6, 8.0, 0.22, 0.34),
]
_FOLDS_L = [*scattered(7, 6, 1.0, 5.2, 0.26, 0.4), *scattered(8, 5, 5.2, 7.6, 0.24, 0.34)]


def trousers(p: Array) -> Array:
    """Both legs and the seat, with folds gathered at the knees and above the boots."""
    nr, nl = _LEG_R.near(p), _LEG_L.near(p)
    r = nr.d - wrinkles(nr, _FOLDS_R)
    left = nl.d - wrinkles(nl, _FOLDS_L)
    seat = ellipsoid(p, (0.2, 0.3, 19.2), (3.5, 2.7, 2.2))
    return blend([seat, r, left], 0.5)


def _foot(q: Array) -> Array:
    d = blend(
        [
            ellipsoid(q, (0.0, -2.35, 1.0), (1.2, 1.6, 0.92)),
            ellipsoid(q, (0.0, 0.35, 1.1), (1.02, 1.2, 1.2)),
            capsule(q, (0.0, -1.6, 1.35), (0.0, 0.05, 2.6), 0.9, 1.15),
        ],
        0.7,
    )
    for k, (y, z) in enumerate([(-1.1, 1.95), (-0.75, 2.5), (-1.75, 1.7)]):
        fold = capsule(q, (-1.3, y + 0.5, z - 0.8), (1.3, y + 0.3 * k, z - 0.5), 0.3, 0.3)
        crest = capsule(q, (-0.9, y, z), (0.9, y - 0.1, z), 0.2, 0.2)
        d = smin(d, crest, 0.35)
        d = smax(d, -fold - 0.25, 0.2)
    return smax(d, 0.3 - q[:, 2], 0.1)


def _sole(q: Array) -> Array:
    def outline(grow: float) -> Array:
        flat = q * vec((1.0, 1.0, 0.0))
        ball = ellipsoid(flat, (0.0, -2.25, 0.0), (1.3 + grow, 1.8 + grow, 9.0))
        heel = ellipsoid(flat, (0.0, 0.35, 0.0), (1.1 + grow, 1.3 + grow, 9.0))
        waist = capsule(flat, (0.0, -1.6, 0.0), (0.0, 0.3, 0.0), 0.95 + grow, 0.95 + grow)
        return blend([ball, heel, waist], 0.6)

    slab = smax(outline(0.06), np.abs(q[:, 2] - 0.3) - 0.22, 0.08)
    gap = box(q, (0.0, -1.05, 0.0), (2.0, 0.5, 0.22), 0.1)
    block = smax(outline(0.0), np.abs(q[:, 2] - 0.1) - 0.35, 0.06)
    return np.minimum(slab, smax(block, -gap, 0.05))


def _boot(frame: Frame, knee: Vec, seed: int) -> Part:
    ankle = frame.world([(0.0, 0.15, 1.5)])[0]
    top = ankle + (np.asarray(knee, dtype=np.float32) - ankle) * 0.72
    middle = 0.5 * (ankle + top) + frame.axes[1] * 0.2
    shaft = Tubes([([ankle, middle, top], (1.2, 1.58, 1.82))])
    length = shaft.lengths[0]
    folds = [*scattered(seed, 6, 0.0, length * 0.6, 0.17, 0.28)]

    def field(p: Array) -> Array:
        q = frame.local(p)
        n = shaft.near(p)
        leg = smax(n.d - wrinkles(n, folds), n.t - length, 0.1)
        d = smin(_foot(q) * frame.scale, leg, 0.5)
        wave = 0.12 * np.sin(3.0 * n.angle + seed)
        cuff = smax(n.dist - n.radius - 0.3, np.abs(n.t - length + 0.62 + wave) - 0.72, 0.2)
        return np.asarray(np.minimum(np.minimum(d, cuff), _sole(q) * frame.scale))

    return Part("boots", field)


def _belt(p: Array) -> Array:
    z = p[:, 2] - pose.BELT_Z + 0.1 * p[:, 0] * 0.5
    d = smax(torso(p) - 1.24, np.abs(z) - 0.66, 0.12)
    edge = np.abs(np.abs(z) - 0.47) - 0.03
    return smax(d, -smax(edge, 1.17 - torso(p), 0.03), 0.04)


_BUCKLE_Y = front_of(0.35, pose.BELT_Z, 1.36)


def _buckle(p: Array) -> Array:
    q = Frame.turned((0.35, _BUCKLE_Y, pose.BELT_Z - 0.02), roll=3.0).local(p)
    plate = box(q, (0.0, 0.0, 0.0), (1.25, 0.34, 1.1), 0.14)
    hole = box(q, (0.0, -0.2, 0.0), (0.78, 0.5, 0.64), 0.08)
    frame = smax(plate, -hole, 0.05)
    prong = capsule(q, (-0.95, -0.2, 0.0), (1.0, -0.32, 0.0), 0.18, 0.16)
    return np.minimum(frame, prong)


def _belt_end() -> Part:
    x = np.array([1.2, 1.75, 2.1, 2.3, 2.75])
    z = pose.BELT_Z + np.array([-0.1, -0.3, -1.2, -2.5, -3.9])
    y = np.array([front_of(a, pose.BELT_Z, 1.36) for a in x])
    y[2:] = y[1] - np.array([0.12, 0.2, 0.45])
    tube = Tubes([(list(np.column_stack([x, y, z])), (0.5,) * 5)])

    def field(p: Array) -> Array:
        n = tube.near(p)
        i = tube.tree.query(np.column_stack([p, np.zeros(len(p))]))[1]
        rel = p - tube.points[i]
        tan = tube.tangents[i]
        out = np.stack([0.5 * np.ones(len(p)), -np.ones(len(p)), np.zeros(len(p))], axis=1)
        out -= np.einsum("ij,ij->i", out, tan)[:, None] * tan
        out /= np.linalg.norm(out, axis=1)[:, None]
        across = np.einsum("ij,ij->i", rel, np.cross(out, tan))
        deep = np.einsum("ij,ij->i", rel, out)
        along = np.abs(n.t - tube.lengths[0] / 2) - tube.lengths[0] / 2
        d = np.maximum(np.maximum(np.abs(across) - 0.5, np.abs(deep) - 0.17), along)
        return np.asarray(d, dtype=np.float32)

    return Part("belt", field)


def parts() -> list[Part]:
    """Everything worn under and around the coat."""
    return [
        Part("jumper", jumper),
        Part("trousers", trousers),
        _boot(pose.FOOT_R, pose.KNEE_R, 11),
        _boot(pose.FOOT_L, pose.KNEE_L, 12),
        Part("belt", _belt),
        _belt_end(),
        Part("buckle", _buckle),
    ]
