"""Beard, hair and hat."""

from collections.abc import Sequence

import numpy as np

from . import pose
from .curves import Sheet, Tubes
from .sdf import Array, Part, Vec, blend, capsule, ellipsoid, mirror, ramp, smax, smin, value_noise

Lock = tuple[Sequence[Vec], Vec]


def _beard_locks() -> list[Lock]:
    """Locks that hang from the jaw and are carried off to the lee side."""
    rng = np.random.default_rng(61)
    locks: list[Lock] = []
    rows = [(9, 0.0, 3.6, 0.46), (8, 0.35, 3.1, 0.44), (7, 0.7, 2.4, 0.4), (5, 1.0, 1.6, 0.34)]
    for count, inward, length, thick in rows:
        for i in range(count):
            s = -1.0 + 2.0 * (i + rng.uniform(0.3, 0.7)) / count
            a = np.radians(s * (100.0 - 38.0 * inward))
            rx, ry = 1.8 - 0.25 * inward, 1.9 + 0.15 * inward
            root = np.array([rx * np.sin(a), -ry * np.cos(a) - 0.2 * inward + 0.1, 0.0])
            root[2] = -1.0 - 1.25 * np.cos(a) + 0.62 * inward * (1.0 - 0.4 * abs(s))
            reach = length * (0.5 + 0.5 * np.cos(a)) + 0.9
            out = np.array([np.sin(a) * 0.35, -0.5 * np.cos(a) - 0.1, -1.0])
            out /= np.linalg.norm(out)
            curl = rng.normal(0.0, 0.12, 3)
            pts = []
            for t in np.linspace(0.0, 1.0, 5):
                sway = np.array([1.0, 0.15, 0.25]) * reach * 0.5 * t * t
                bend = np.array([0.16, 0.0, 0.05]) * np.sin(5.0 * t + i * 1.7)
                pts.append(root + out * reach * t + sway + bend * t + curl * t)
            radii = thick * np.array([0.75, 1.0, 0.95, 0.7, 0.22]) * rng.uniform(0.85, 1.15)
            locks.append((pts, radii))
    return locks


def _moustache_locks() -> list[Lock]:
    locks: list[Lock] = []
    for side in (-1.0, 1.0):
        for k in range(5):
            f = k / 4.0
            tip = 0.35 if side > 0 else 0.1
            pts = [
                (side * 0.1, -2.42 - 0.12 * (1 - f), -1.02 - 0.2 * f),
                (side * (0.6 + 0.12 * f), -2.5 + 0.12 * f, -1.1 - 0.3 * f),
                (side * (1.15 + 0.2 * f), -2.05 + 0.1 * f, -1.38 - 0.42 * f),
                (side * (1.5 + 0.25 * f) + tip, -1.65, -1.75 - 0.55 * f),
            ]
            locks.append((pts, (0.22, 0.3, 0.26, 0.08)))
    return locks


def _hair_locks() -> list[Lock]:
    """Side whiskers and the hair that shows below the hat."""
    locks: list[Lock] = []
    rng = np.random.default_rng(63)
    for side in (-1.0, 1.0):
        for k in range(4):
            y = -1.0 + 0.22 * k
            wave = 0.12 * (-1.0) ** k
            pts = [
                (side * (1.8 + 0.05 * k), y + 0.2, 1.3),
                (side * (1.9 + 0.05 * k), y + wave, 0.3),
                (side * 1.95, y - wave, -0.6),
                (side * 1.75 + 0.25, y - 0.1, -1.8),
            ]
            locks.append((pts, (0.2, 0.24, 0.3, 0.16)))
    for i in range(11):
        a = np.radians(32.0 + 116.0 * i / 10.0)
        x, y = 2.1 * np.cos(a), 0.4 + 2.25 * np.sin(a)
        tip = rng.uniform(0.4, 0.9)
        pts = [(x, y, 1.0), (x * 1.04, y * 1.02, -0.2), (x * 0.98 + tip * 0.4, y, -1.4),
               (x * 0.98 + tip, y + 0.2, -2.3)]  # fmt: skip
        locks.append((pts, (0.45, 0.48, 0.4, 0.12)))
    return locks


BROWS = [
    (0.3, -2.2, 0.66, 0.42, 0.22),
    (0.5, -2.2, 0.7, 0.5, 0.22),
    (0.75, -2.14, 0.74, 0.5, 0.14),
    (1.0, -2.02, 0.76, 0.48, 0.02),
    (1.2, -1.9, 0.72, 0.45, -0.14),
]


def _strands(tubes: Tubes, q: Array, depth: float, count: float) -> Array:
    n = tubes.near(q)
    wave = np.cos(count * n.angle + 1.5 * np.sin(1.3 * n.t))
    return np.asarray(n.d - depth * wave * ramp(n.radius, 0.1, 0.3))


_BEARD = Tubes(_beard_locks())
_LIP = Tubes(_moustache_locks())
_HAIR = Tubes(_hair_locks())


def beard(p: Array) -> Array:
    """Full beard, moustache, hair and eyebrows."""
    q = pose.HEAD.local(p)
    m = mirror(q)
    core = blend(
        [
            ellipsoid(q, (0.05, -1.15, -2.2), (1.6, 1.2, 1.3)),
            ellipsoid(q, (0.5, -1.75, -3.5), (1.2, 0.75, 1.5)),
        ],
        0.6,
    )
    d = smin(_strands(_BEARD, q, 0.05, 4.0), core, 0.25)
    mouth = ellipsoid(q, (0.0, -2.45, -1.64), (0.66, 0.62, 0.3))
    d = smax(d, -mouth, 0.12)
    d = np.minimum(d, _strands(_LIP, q, 0.035, 4.0))
    d = smin(d, _strands(_HAIR, q, 0.05, 4.0), 0.12)
    for x, y, z, dx, dz in BROWS:
        hair = capsule(m, (x, y, z), (x + dx, y - 0.12, z + dz), 0.19, 0.07)
        d = np.minimum(d, hair)
    return d * pose.HEAD.scale


def _brim() -> Sheet:
    u = np.linspace(0.0, 1.0, 420)[:, None]
    v = np.linspace(0.0, 1.0, 70)[None, :]
    a = 2.0 * np.pi * u
    back = 0.5 - 0.5 * np.cos(a)
    width = 0.85 + 0.45 * np.sin(a) ** 2 + 2.3 * back**2
    rise = 0.95 * (1.0 - back) ** 2 - 0.25 - 2.2 * back**2
    rise = rise + 0.35 * np.cos(2 * a) * (1 - back)
    rise = rise + 0.22 * np.sin(3.0 * a + 0.6) + 0.14 * np.sin(5.0 * a)
    x = (2.38 + width * v) * np.sin(a)
    y = 0.25 - (2.72 + width * v) * np.cos(a)
    z = 1.45 + 0.12 * np.cos(a) + rise * v**1.2
    grid = np.stack(np.broadcast_arrays(x, y, z), axis=-1).astype(np.float64)
    radius = 0.22 + 0.09 * (v > 0.9) + 0.0 * u
    return Sheet(pose.HEAD.world(grid.reshape(-1, 3)).reshape(grid.shape), radius)


def crown(p: Array) -> Array:
    """Domed crown in panels, with a raised seam between each pair."""
    q = pose.HEAD.local(p)
    d = ellipsoid(q, (0.0, 0.4, 1.35), (2.5, 2.85, 2.86))
    d = d + 0.22 * value_noise(q, 1.6, 64) * ramp(q[:, 2], 1.6, 2.4)
    a = np.arctan2(q[:, 0], -(q[:, 1] - 0.35))
    seam = np.abs(np.mod(a / (2.0 * np.pi) * 6.0 + 0.5, 1.0) - 0.5)
    rho = np.hypot(q[:, 0], q[:, 1] - 0.35)
    width = seam * 2.0 * np.pi / 6.0 * rho
    d = d - 0.13 * ramp(width, 0.3, 0.12) * ramp(rho, 0.1, 0.5) + 0.06 * ramp(seam, 0.2, 0.5)
    d = smax(d, 1.0 - q[:, 2], 0.1)
    return d * pose.HEAD.scale


def parts() -> list[Part]:
    """Hair and hat."""
    brim = _brim()
    return [Part("beard", beard), Part("hat", crown), Part("hat", brim.field)]
