"""The storm lantern and the coil of rope."""

import numpy as np

from . import pose
from .curves import Tubes
from .sdf import Array, Part, capsule, disc, ellipsoid, mirror, smax, smin, torus


def lantern(p: Array) -> Array:
    """Storm lantern hung by its bail from the frame's origin."""
    q = pose.LAMP.local(p)
    m = mirror(q)
    z = q[:, 2]
    rho = np.hypot(q[:, 0], q[:, 1])
    d = disc(q, -7.65, -7.2, 1.58, 0.12)
    tank = smax(ellipsoid(q, (0, 0, -6.75), (1.5, 1.5, 0.85)), np.abs(z + 6.78) - 0.66, 0.15)
    d = np.minimum(d, tank)
    d = np.minimum(d, disc(q, -6.15, -5.75, 0.95, 0.08))
    d = np.minimum(d, ellipsoid(q, (0.95, -0.85, -6.2), (0.3, 0.3, 0.25)))
    hood = smax((rho - 1.25 - 0.75 * (-3.0 - z)) * 0.8, np.abs(z + 2.75) - 0.32, 0.08)
    d = np.minimum(d, np.minimum(hood, disc(q, -3.18, -2.98, 1.42, 0.08)))
    stack = disc(q, -2.6, -1.75, 0.68, 0.06)
    slots = np.abs(np.mod(np.arctan2(q[:, 1], q[:, 0]) / (np.pi / 4.0), 1.0) - 0.5) * rho * 0.8
    stack = smax(stack, -np.maximum(0.14 - slots, np.abs(z + 2.1) - 0.16) * 1.0, 0.03)
    cap = smax(ellipsoid(q, (0, 0, -1.8), (0.9, 0.9, 0.45)), -1.8 - z, 0.08)
    d = np.minimum(d, np.minimum(stack, cap))
    side = capsule(m, (1.62, 0.0, -6.6), (1.62, 0.0, -3.0), 0.26, 0.26)
    side = smin(side, capsule(m, (1.62, 0.0, -3.0), (0.8, 0.0, -2.45), 0.26, 0.24), 0.15)
    side = smin(side, capsule(m, (1.62, 0.0, -6.6), (1.2, 0.0, -6.9), 0.26, 0.26), 0.1)
    d = np.minimum(d, side)
    for zz in (-3.9, -4.95):
        d = np.minimum(d, torus(q, zz, 1.36, 0.13))
    for a in (0.25, 0.75, 1.25, 1.75):
        c, s = 1.3 * np.cos(a * np.pi), 1.3 * np.sin(a * np.pi)
        d = np.minimum(d, capsule(q, (c, s, -6.3), (c, s, -3.0), 0.14, 0.14))
    ear = capsule(m, (1.55, 0.0, -2.9), (1.75, 0.0, -2.0), 0.24, 0.24)
    d = np.minimum(d, ear)
    bail = _BAIL.near(q)
    return np.minimum(d, bail.d)


_BAIL = Tubes(
    [
        (
            [(-1.75, 0, -2.1), (-1.62, 0, -0.9), (-1.1, 0, -0.12), (0, 0, 0.0), (1.1, 0, -0.12),
             (1.62, 0, -0.9), (1.75, 0, -2.1)],
            (0.2, 0.19, 0.2, 0.26, 0.2, 0.19, 0.2),
        )
    ]
)  # fmt: skip


def glass(p: Array) -> Array:
    """Shape the lantern's glass like a barrel."""
    q = pose.LAMP.local(p)
    d = ellipsoid(q, (0, 0, -4.45), (1.16, 1.16, 2.1))
    return smax(d, np.abs(q[:, 2] + 4.45) - 1.5, 0.05)


def _coil() -> Tubes:
    """One long rope: hanging loops, then a lashing round their waist and a loose end."""
    rng = np.random.default_rng(81)
    curves: list[tuple[list[tuple[float, float, float]], list[float]]] = []
    r = 0.4
    for k in range(6):
        wide = 1.75 + 0.16 * ((k * 2) % 5) + rng.uniform(-0.1, 0.1)
        tall = 3.55 + 0.22 * ((k * 3) % 5) + rng.uniform(-0.1, 0.1)
        y = (-0.55, 0.5, -0.1, 0.2, -0.35, 0.35)[k]
        lean = rng.uniform(-0.12, 0.12) + 0.1
        pts = []
        for t in np.linspace(0.0, 2.0 * np.pi, 13):
            c, s = np.cos(t), np.sin(t)
            x = wide * np.sign(s) * np.abs(s) ** 0.85 * (1.0 - 0.32 * c)
            z = tall * (c - 1.0) + 0.12 * (k % 3)
            down = (1.0 - c) * 0.5
            pts.append((x + lean * down * tall, y * (0.35 + 0.9 * down) + 0.3 * s * (k % 2), z))
        pts[-1] = pts[0]
        curves.append((pts, [r] * 13))
    return Tubes([(c, w) for c, w in curves], closed=True)


_COIL = _coil()
_TAIL = Tubes(
    [
        (
            [(0.9, -0.5, -0.2), (1.5, -0.9, -0.9), (2.1, -0.7, -2.6), (2.4, -0.9, -4.4),
             (3.1, -0.7, -6.0), (4.1, -0.5, -6.9)],
            (0.38, 0.38, 0.38, 0.38, 0.38, 0.42),
        )
    ]
)  # fmt: skip


def rope(p: Array) -> Array:
    """Three-strand rope, coiled and carried in the fist."""
    # Loops hang straight down, whatever the wrist does.
    w = p - pose.GRIP_L.origin
    bar = -pose.GRIP_L.axes[0]
    hang = np.stack([w @ bar, w @ np.cross([0.0, 0.0, 1.0], bar), w[:, 2]], axis=1)
    hang = hang.astype(np.float32)
    out = np.full(len(p), 1e3, dtype=np.float32)
    for tube in (_COIL, _TAIL):
        n = tube.near(hang)
        lay = np.abs(np.cos(1.5 * (n.angle + n.t * 3.4)))
        out = np.minimum(out, n.d - 0.13 * lay + 0.09)
    return out


def parts() -> list[Part]:
    """Return what the keeper carries."""
    return [Part("lantern", lantern), Part("glass", glass), Part("rope", rope)]
