"""The oilskin: trunk with lapels, sleeves, collar, and a skirt the wind has caught."""

import numpy as np

from . import pose
from .body import torso
from .clothes import Fold, scattered, wrinkles
from .curves import Sheet, Tubes
from .sdf import Array, Part, Vec, nearby, ramp, smax, smin, value_noise, vec

_SLEEVE_R = Tubes(
    [
        (
            [(-3.0, 0.6, 29.6), pose.SHOULDER_R, (-7.3, -0.2, 29.9), pose.ELBOW_R,
             (-10.7, -3.0, 31.9), (-11.3, -4.2, 33.0)],
            (1.6, 1.82, 1.72, 1.6, 1.5, 1.6),
        )
    ]
)  # fmt: skip
_SLEEVE_L = Tubes(
    [
        (
            [(3.2, 0.7, 29.2), pose.SHOULDER_L, (6.6, 1.2, 26.3), pose.ELBOW_L,
             (8.05, -0.9, 22.2), (7.98, -2.3, 21.15)],
            (1.6, 1.82, 1.72, 1.6, 1.5, 1.6),
        )
    ]
)  # fmt: skip
_FOLDS_R = [
    *scattered(21, 5, 2.2, 5.6, 0.3, 0.42),
    *scattered(22, 8, 5.6, 8.2, 0.27, 0.32),
    *scattered(23, 4, 8.4, 10.6, 0.2, 0.34),
]
_FOLDS_L = [
    *scattered(31, 5, 2.6, 5.6, 0.28, 0.42),
    *scattered(32, 8, 5.8, 8.6, 0.27, 0.32),
    *scattered(33, 4, 8.6, 11.0, 0.2, 0.34),
]


def _sleeve(p: Array, tube: Tubes, folds: list[Fold]) -> Array:
    n = tube.near(p)
    end = tube.lengths[0] + 0.3
    d = smax(n.d - wrinkles(n, folds), n.t - end, 0.12)
    cuff = smax(n.dist - n.radius - 0.28, np.abs(n.t - end + 0.75) - 0.8, 0.16)
    d = np.minimum(d, cuff)
    hollow = smax(n.dist - n.radius + 0.32, end - 0.9 - n.t, 0.1)
    return smax(d, -hollow, 0.08)


def _on_torso(turn: float, z: float) -> tuple[float, float, float]:
    """Point of the coat's trunk at an angle from the front (degrees, lee positive)."""
    r = np.linspace(8.0, 0.5, 900, dtype=np.float32)
    t = np.radians(turn)
    p = np.stack([0.1 + r * np.sin(t), 0.3 - r * np.cos(t), np.full_like(r, z)], axis=1)
    x, y, z = (float(c) for c in p[int(np.argmax(torso(p) < 0.6))].astype(float))
    return x, y, z


def _stroke(*stops: tuple[float, float], height: float) -> tuple[list[Vec], Vec]:
    points: list[Vec] = [_on_torso(turn, z) for turn, z in stops]
    swell = np.sin(np.linspace(0.25, np.pi - 0.25, len(stops)))
    return points, [float(height * s) for s in swell]


_DRAPE = Tubes(
    [
        _stroke((-82, 28.2), (-66, 26.4), (-48, 24.4), (-30, 22.4), height=0.62),
        _stroke((-92, 27.4), (-76, 25.2), (-62, 23.6), (-50, 22.0), height=0.55),
        _stroke((-104, 26.6), (-98, 24.8), (-88, 23.2), (-80, 22.0), height=0.5),
        _stroke((-66, 28.0), (-48, 27.2), (-36, 26.0), (-26, 24.2), height=0.4),
        _stroke((88, 26.6), (66, 25.5), (48, 25.2), (30, 25.9), height=0.5),
        _stroke((92, 24.9), (70, 23.9), (50, 23.6), (28, 24.2), height=0.55),
        _stroke((84, 23.5), (66, 22.8), (46, 22.6), (26, 22.9), height=0.5),
        _stroke((70, 28.3), (56, 27.6), (46, 26.8), (40, 26.0), height=0.35),
        _stroke((-108, 27.8), (-136, 26.6), (-164, 24.8), (-190, 22.6), height=0.6),
        _stroke((-112, 26.2), (-134, 24.8), (-152, 23.6), (-170, 22.2), height=0.5),
        _stroke((-118, 24.6), (-128, 23.8), (-138, 22.9), (-146, 22.1), height=0.42),
        _stroke((104, 27.4), (124, 26.2), (144, 25.7), (168, 26.0), height=0.5),
        _stroke((98, 25.4), (120, 24.2), (142, 23.8), (166, 24.0), height=0.55),
        _stroke((94, 23.8), (116, 22.9), (138, 22.6), (160, 22.8), height=0.5),
    ]
)


def _draped(p: Array) -> Array:
    """Height of the folds pulled across the trunk."""
    out = np.zeros(len(p), dtype=np.float32)
    close = np.flatnonzero(np.abs(torso(p) - 0.6) < 1.2)
    if len(close):
        n = _DRAPE.near(p[close])
        x = n.dist / (0.3 + 0.25 * n.radius)
        out[close] = n.radius * (0.75 * np.exp(-x * x) - 0.3 * np.exp(-((x - 1.9) ** 2)))
    return out


def _gap(p: Array) -> tuple[Array, Array]:
    """Signed distance to the front opening (negative inside) and the side of it."""
    z = p[:, 2]
    width = 0.15 + 3.1 * ramp(z, 20.0, 30.4)
    x = p[:, 0] - 0.35 + 0.06 * (z - 21.0)
    return (np.abs(x) - width) * 0.93, x


def trunk(p: Array) -> Array:
    """Coat above the belt, both sleeves, and the lapels."""
    base = torso(p)
    z = p[:, 2]
    gap, _ = _gap(p)
    pull = _draped(p) * ramp(z, 21.5, 22.2)
    turn = np.arctan2(p[:, 0], -p[:, 1])
    pull = pull + 0.13 * np.sin(17.0 * turn + 2.0 * np.sin(3.0 * turn)) * ramp(
        z, 23.4, 22.3
    ) * ramp(z, 21.6, 22.2)
    blouse = 0.42 * ramp(z, 24.6, 22.7) * ramp(z, 21.5, 22.4)
    soft = 0.12 * value_noise(p * vec((1.0, 1.0, 0.6)), 2.2, 5)
    body = smax(base - 0.6 - pull - blouse - soft, 20.3 - z, 0.2)
    yoke = smax(base - 0.86, 27.6 + 0.05 * p[:, 0] ** 2 * 0.4 - z, 0.08)
    body = np.minimum(body, yoke)
    right = nearby(lambda q: _sleeve(q, _SLEEVE_R, _FOLDS_R), _SLEEVE_R.bound(p), p, 0.7)
    left = nearby(lambda q: _sleeve(q, _SLEEVE_L, _FOLDS_L), _SLEEVE_L.bound(p), p, 0.7)
    d = smin(smin(body, right, 0.6), left, 0.6)
    d = smax(d, -smax(gap, p[:, 1] - 0.6, 0.1), 0.15)
    width = 0.35 + 1.35 * ramp(z, 21.8, 28.5)
    lapel = smax(base - 1.08, np.maximum(-gap, gap - width), 0.16)
    lapel = smax(lapel, np.maximum(p[:, 1] - 0.2, 21.9 - z), 0.1)
    return np.minimum(d, lapel)


def _collar() -> Sheet:
    """Turned-up collar round the back of the neck, open at the throat."""
    u = np.linspace(0.0, 1.0, 240)[:, None]
    v = np.linspace(0.0, 1.0, 40)[None, :]
    a = np.radians(-40.0 + 260.0 * u)
    lift = np.sin(np.pi * u) ** 0.6
    flare = 1.0 + (0.24 + 0.12 * np.sin(4.0 * a + 1.0)) * v
    x = 0.05 + 2.75 * np.cos(a) * flare + 0.25 * v
    y = 0.75 + 2.35 * np.sin(a) * flare
    z = 29.1 + 0.5 * np.sin(a) + v * (1.1 + 1.5 * lift) + 0.12 * np.sin(7.0 * a) * v
    grid = np.stack(np.broadcast_arrays(x, y, z), axis=-1).astype(np.float64)
    radius = np.full(grid.shape[:2], 0.27) + 0.06 * (v > 0.86)
    return Sheet(grid, radius)


def _skirt() -> Sheet:
    """Spread the coat below the belt, from its windward front edge round the back to the lee."""
    rng = np.random.default_rng(41)
    u = np.linspace(0.0, 1.0, 440)[:, None]
    v = np.linspace(0.0, 1.0, 150)[None, :]
    start, stop = np.radians(-90.0 - 60.0), np.radians(-90.0 + 36.0) - 2.0 * np.pi
    a = start + (stop - start) * u
    lee = ramp((np.cos(a) + 0.35 * np.sin(a)).astype(np.float32), -0.9, 1.1).astype(np.float64)
    lee = np.maximum(lee, ramp(u.astype(np.float32), 0.55, 1.0).astype(np.float64))
    drop = 10.8 - 0.5 * lee
    flare = 0.22 + 0.2 * lee
    phase = 2.0 * np.pi * (8.0 * u + 0.35 * np.sin(2 * np.pi * (u * 1.7 + 0.1)))
    phase = phase + 0.7 * np.sin(2.3 * v + 5.0 * u) + v * 1.2
    wave = np.sin(phase)
    fold = 1.0 - 2.0 * np.abs(0.5 - 0.5 * wave) ** 0.75
    small = np.sin(phase * 2.37 + 1.9 * np.sin(6.0 * u) + 2.2 * v) * (0.4 + 0.6 * lee)
    depth = (0.10 + 0.95 * v**0.9) * (0.72 + 0.6 * lee)
    reach = 0.9 * v + flare * drop * v**1.15 + depth * 0.85 * fold + 0.17 * v * small
    gather = 0.12 * np.sin(phase * 3.0 + rng.uniform(0, 6)) * np.exp(-v * 5.0)
    side = depth * 0.55 * np.cos(phase) * v
    rx, ry = 4.25, 3.4
    x0, y0 = 0.2, 0.15
    ca, sa = np.cos(a), np.sin(a)
    x = x0 + (rx + reach + gather) * ca - side * sa
    y = y0 + (ry + reach + gather) * sa + side * ca
    z = 21.3 - drop * v + 0.0 * a
    blow = v**1.5 * (0.9 + 3.3 * lee)
    x = x + blow
    y = y + 0.62 * blow * (0.3 + lee)
    z = z + 0.32 * blow * v * (0.3 + lee) + 0.35 * v**3 * wave * lee
    z = z + 0.6 * np.sin(2.0 * np.pi * (0.9 * v + 1.4 * u)) * v**2 * lee
    grid = np.stack(np.broadcast_arrays(x, y, z), axis=-1).astype(np.float64)
    edge = np.minimum(np.minimum(u, 1.0 - u) * 30.0, (1.0 - v) * 12.0)
    radius = 0.23 + 0.1 * (edge < 0.55)
    return Sheet(grid, np.broadcast_to(radius, grid.shape[:2]).astype(np.float64))


def parts() -> list[Part]:
    """Return the whole oilskin."""
    collar, skirt = _collar(), _skirt()
    return [
        Part("oilskin", trunk),
        Part("oilskin", collar.field),
        Part("oilskin", skirt.field),
    ]
