"""The oilskin: trunk with lapels, sleeves, collar, and a skirt the wind has caught."""

import numpy as np

from . import pose
from .body import torso
from .clothes import scattered, wrinkles
from .curves import Sheet, Tubes
from .sdf import Array, Part, ellipsoid, ramp, smax, smin, value_noise, vec

_SLEEVE_R = Tubes(
    [
        (
            [(-3.0, 0.6, 29.6), pose.SHOULDER_R, (-7.6, -0.5, 30.2), pose.ELBOW_R,
             (-10.7, -3.1, 31.9), (-11.35, -4.3, 33.0)],
            (1.9, 2.0, 1.75, 1.6, 1.5, 1.6),
        )
    ]
)  # fmt: skip
_SLEEVE_L = Tubes(
    [
        (
            [(3.2, 0.7, 29.2), pose.SHOULDER_L, (6.7, 1.3, 26.4), pose.ELBOW_L,
             (7.95, -0.2, 21.9), (7.75, -1.4, 20.7)],
            (1.9, 2.0, 1.75, 1.6, 1.5, 1.6),
        )
    ]
)  # fmt: skip
_FOLDS_R = [
    *scattered(21, 5, 1.2, 5.0, 0.2, 0.4),
    *scattered(22, 8, 5.6, 8.2, 0.27, 0.32),
    *scattered(23, 4, 8.4, 10.6, 0.2, 0.34),
]
_FOLDS_L = [
    *scattered(31, 5, 1.4, 5.2, 0.2, 0.42),
    *scattered(32, 8, 5.8, 8.6, 0.27, 0.32),
    *scattered(33, 4, 8.6, 11.0, 0.2, 0.34),
]


def _sleeve(p: Array, tube: Tubes, folds: list[tuple[float, float, float, float, float]]) -> Array:
    n = tube.near(p)
    end = tube.lengths[0] + 0.3
    d = smax(n.d - wrinkles(n, folds), n.t - end, 0.12)
    cuff = smax(n.dist - n.radius - 0.28, np.abs(n.t - end + 0.75) - 0.8, 0.16)
    d = np.minimum(d, cuff)
    hollow = smax(n.dist - n.radius + 0.32, end - 0.9 - n.t, 0.1)
    return smax(d, -hollow, 0.08)


def _gap(p: Array) -> tuple[Array, Array]:
    """Signed distance to the front opening (negative inside) and the side of it."""
    z = p[:, 2]
    width = 0.1 + 2.55 * ramp(z, 20.2, 30.2)
    x = p[:, 0] - 0.35 + 0.06 * (z - 21.0)
    return (np.abs(x) - width) * 0.93, x


def trunk(p: Array) -> Array:
    """Coat above the belt, both sleeves, and the lapels."""
    base = torso(p)
    z = p[:, 2]
    gap, _ = _gap(p)
    pull = 0.16 * np.sin(2.1 * p[:, 0] + 0.9 * z + 1.3 * np.sin(0.8 * z)) * ramp(z, 26.5, 22.5)
    blouse = 0.42 * ramp(z, 24.6, 22.6) * ramp(z, 21.3, 22.2)
    soft = 0.12 * value_noise(p * vec((1.0, 1.0, 0.6)), 2.2, 5)
    body = smax(base - 0.6 - pull - blouse - soft, 20.3 - z, 0.2)
    yoke = smax(base - 0.86, 27.6 + 0.05 * p[:, 0] ** 2 * 0.4 - z, 0.08)
    body = np.minimum(body, yoke)
    right = _sleeve(p, _SLEEVE_R, _FOLDS_R)
    left = _sleeve(p, _SLEEVE_L, _FOLDS_L)
    d = smin(smin(body, right, 0.6), left, 0.6)
    front = smax(gap * -1.0, 0.0 * z - (p[:, 1] - 0.6) * -1.0, 0.1)
    d = smax(d, -smax(gap, p[:, 1] - 0.6, 0.1), 0.15)
    width = 0.35 + 1.35 * ramp(z, 21.8, 28.5)
    notch = 0.9 * ramp(np.abs(z - 27.6), 0.5, 0.0)
    lapel = smax(base - 1.08, np.maximum(-gap, gap - width + notch), 0.16)
    lapel = smax(lapel, np.maximum(p[:, 1] - 0.2, 21.9 - z), 0.1)
    del front
    return np.minimum(d, lapel)


def _collar() -> Sheet:
    """Turned-up collar round the back of the neck, open at the throat."""
    u = np.linspace(0.0, 1.0, 240)[:, None]
    v = np.linspace(0.0, 1.0, 40)[None, :]
    a = np.radians(-58.0 + 296.0 * u)
    lift = np.sin(np.pi * u) ** 0.6
    flare = 1.0 + (0.24 + 0.12 * np.sin(4.0 * a + 1.0)) * v
    x = 0.05 + 2.75 * np.cos(a) * flare + 0.25 * v
    y = 0.75 + 2.35 * np.sin(a) * flare
    z = 29.1 + 0.5 * np.sin(a) + v * (1.1 + 1.5 * lift) + 0.12 * np.sin(7.0 * a) * v
    grid = np.stack(np.broadcast_arrays(x, y, z), axis=-1).astype(np.float64)
    radius = np.full(grid.shape[:2], 0.27) + 0.06 * (v > 0.86)
    return Sheet(grid, radius)


def _skirt() -> Sheet:
    """The coat below the belt; u runs from its windward front edge round the back to the lee."""
    rng = np.random.default_rng(41)
    u = np.linspace(0.0, 1.0, 440)[:, None]
    v = np.linspace(0.0, 1.0, 150)[None, :]
    start, stop = np.radians(-90.0 - 62.0), np.radians(-90.0 + 18.0) - 2.0 * np.pi
    a = start + (stop - start) * u
    lee = ramp((np.cos(a) + 0.35 * np.sin(a)).astype(np.float32), -0.9, 1.1).astype(np.float64)
    lee = np.maximum(lee, ramp(u.astype(np.float32), 0.55, 1.0).astype(np.float64))
    drop = 10.6 - 1.3 * lee
    flare = 0.22 + 0.2 * lee
    phase = 2.0 * np.pi * (8.0 * u + 0.35 * np.sin(2 * np.pi * (u * 1.7 + 0.1)))
    phase = phase + 0.7 * np.sin(2.3 * v + 5.0 * u) + v * 1.2
    wave = np.sin(phase)
    fold = 1.0 - 2.0 * np.abs(0.5 - 0.5 * wave) ** 0.75
    small = np.sin(phase * 2.37 + 1.9 * np.sin(6.0 * u) + 2.2 * v) * (0.4 + 0.6 * lee)
    depth = (0.10 + 0.95 * v**0.9) * (0.55 + 0.75 * lee)
    reach = 0.9 * v + flare * drop * v**1.15 + depth * 0.85 * fold + 0.17 * v * small
    gather = 0.12 * np.sin(phase * 3.0 + rng.uniform(0, 6)) * np.exp(-v * 5.0)
    side = depth * 0.55 * np.cos(phase) * v
    rx, ry = 4.25, 3.4
    x0, y0 = 0.2, 0.15
    ca, sa = np.cos(a), np.sin(a)
    x = x0 + (rx + reach + gather) * ca - side * sa
    y = y0 + (ry + reach + gather) * sa + side * ca
    z = 21.3 - drop * v + 0.0 * a
    blow = v**1.6 * (0.9 + 3.4 * lee)
    x = x + blow
    y = y + 0.5 * blow * (0.3 + lee)
    z = z + 0.55 * blow * v * (0.4 + lee) + 0.35 * v**3 * wave * lee
    grid = np.stack(np.broadcast_arrays(x, y, z), axis=-1).astype(np.float64)
    edge = np.minimum(np.minimum(u, 1.0 - u) * 30.0, (1.0 - v) * 12.0)
    radius = 0.23 + 0.1 * (edge < 0.55)
    return Sheet(grid, np.broadcast_to(radius, grid.shape[:2]).astype(np.float64))


def _buttons(p: Array) -> Array:
    d = np.full(len(p), 1e3, dtype=np.float32)
    for z in (22.9, 24.5, 26.1):
        c = (0.35 + 1.55 + 0.24 * (z - 22.0), -2.9, z)
        d = np.minimum(d, ellipsoid(p, c, (0.3, 0.4, 0.3)))
    return d


def parts() -> list[Part]:
    """The whole oilskin."""
    collar, skirt = _collar(), _skirt()
    return [
        Part("oilskin", trunk),
        Part("oilskin", collar.field),
        Part("oilskin", skirt.field),
    ]
