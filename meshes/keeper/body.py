"""Bare parts of the keeper: torso volume, face, ears, neck and hands."""

import numpy as np

from . import pose
from .sdf import (
    Array,
    Frame,
    Part,
    blend,
    capsule,
    chain,
    ellipsoid,
    mirror,
    smax,
    smin,
    sphere,
)

EYE = (0.86, -1.77, 0.12)


def torso(p: Array) -> Array:
    """Measure the trunk that jumper, coat and belt are all built upon."""
    return blend(
        [
            ellipsoid(p, (0.0, 0.4, 26.5), (3.95, 2.85, 3.9)),
            ellipsoid(p, (0.1, -0.05, 22.9), (3.5, 2.9, 3.2)),
            ellipsoid(p, (0.3, 0.4, 19.6), (3.8, 2.9, 2.6)),
            capsule(p, pose.SHOULDER_R, (0.0, 0.8, 29.6), 1.3, 1.8),
            capsule(p, pose.SHOULDER_L, (0.0, 0.8, 29.6), 1.3, 1.8),
        ],
        1.2,
    )


def _skull(q: Array, m: Array) -> Array:
    """Face mass; ``q`` is in the head's frame and ``m`` is ``q`` folded at the middle."""
    d = blend(
        [
            ellipsoid(q, (0.0, 0.3, 0.7), (2.05, 2.4, 2.2)),
            ellipsoid(q, (0.0, -0.45, -1.1), (1.7, 1.75, 1.9)),
        ],
        0.9,
    )
    d = smin(d, ellipsoid(m, (1.2, -1.32, -0.36), (0.6, 0.5, 0.36)), 0.6)
    d = smax(d, -ellipsoid(m, (1.5, -1.95, -1.05), (0.46, 0.52, 0.4)), 0.55)
    d = smin(d, capsule(m, (0.2, -2.0, 0.62), (1.4, -1.6, 0.6), 0.36, 0.3), 0.35)
    return smax(d, -ellipsoid(m, (0.84, -2.3, 0.1), (0.56, 0.5, 0.4)), 0.25)


def _nose(q: Array, m: Array) -> Array:
    ridge = [(0, -1.98, 0.5), (0, -2.46, 0.1), (0, -2.62, -0.2), (0, -2.9, -0.62)]
    d = chain(q, ridge, (0.2, 0.27, 0.25, 0.26), 0.15)
    d = smin(d, ellipsoid(q, (0, -2.9, -0.66), (0.36, 0.34, 0.32)), 0.2)
    d = smin(d, ellipsoid(m, (0.44, -2.42, -0.74), (0.25, 0.36, 0.25)), 0.12)
    return smax(d, -ellipsoid(m, (0.2, -2.7, -1.0), (0.13, 0.2, 0.16)), 0.08)


def face(p: Array) -> Array:
    """Head, ears and neck."""
    q = pose.HEAD.local(p)
    m = mirror(q)
    d = smin(_skull(q, m), _nose(q, m), 0.28)
    ball = sphere(m, EYE, 0.58)
    x = m[:, 0] - EYE[0]
    tilt = m[:, 2] - EYE[2] + 0.14 * x
    upper = smax(ball, 0.2 - 0.5 * x * x - tilt, 0.05)
    lower = smax(ball + 0.03, tilt + 0.26 - 0.45 * x * x, 0.05)
    d = smin(d, smin(upper, lower, 0.05), 0.16)
    bag = capsule(m, (0.5, -2.12, -0.5), (1.15, -1.9, -0.44), 0.1, 0.1)
    d = smin(d, bag, 0.2)
    for k in range(3):
        z = 0.2 - 0.2 * k
        crow = capsule(m, (1.42, -1.62, z), (1.85, -1.2, z * 1.8 - 0.05), 0.05, 0.04)
        d = smax(d, -crow, 0.12)
    d = smin(d, ellipsoid(q, (0.0, -2.12, -1.74), (0.56, 0.36, 0.24)), 0.1)
    ear = ellipsoid(m, (2.12, 0.15, -0.05), (0.3, 0.66, 0.92))
    ear = smax(ear, -ellipsoid(m, (2.42, 0.05, 0.0), (0.24, 0.36, 0.58)), 0.15)
    d = smin(d, ear, 0.2)
    neck = capsule(p, (0.0, 0.9, 29.4), (-0.1, 0.2, 32.4), 1.75, 1.6)
    return smin(d * pose.HEAD.scale, neck, 0.5)


def eyes(p: Array) -> Array:
    """Both eyeballs, each with a shallow pit for the iris."""
    m = mirror(pose.HEAD.local(p))
    d = sphere(m, EYE, 0.51)
    # He looks along the lamp's beam, so both irises sit a little to windward.
    q = m.copy()
    q[:, 0] -= 0.1 * np.sign(pose.HEAD.local(p)[:, 0])
    pit = sphere(q, (EYE[0] - 0.02, EYE[1] - 0.56, EYE[2] + 0.0), 0.21)
    pupil = sphere(q, (EYE[0] - 0.02, EYE[1] - 0.42, EYE[2] + 0.0), 0.09)
    return smin(smax(d, -pit, 0.02), pupil, 0.02) * pose.HEAD.scale


def hand(p: Array, frame: Frame, side: float) -> Array:
    """Close a fist round a bar along the frame's x axis; +z runs to the wrist."""
    q = frame.local(p)
    d = blend(
        [
            ellipsoid(q, (0.0, 0.3, 1.25), (1.2, 0.55, 1.0)),
            capsule(q, (-0.75, 0.42, 0.75), (0.75, 0.42, 0.75), 0.42, 0.42),
            capsule(q, (0.0, 0.1, 1.6), (0.0, 0.05, 2.6), 0.85, 0.8),
        ],
        0.35,
    )
    for i in range(4):
        x = (-0.96 + 0.64 * i) * side
        s = (0.94, 1.04, 1.0, 0.86)[i]
        x2 = x * 0.9
        points = [
            (x, 0.58 * s, 0.72),
            (x, 0.78 * s, -0.12),
            (x2, 0.2, -0.78 * s),
            (x2, -0.52, -0.62 * s),
            (x2, -0.66, 0.02),
        ]
        finger = chain(q, points, (0.37 * s, 0.35 * s, 0.34 * s, 0.31 * s, 0.27 * s), 0.06)
        d = smin(d, finger, 0.07)
    thumb = chain(
        q,
        [(-0.95 * side, 0.1, 1.5), (-1.25 * side, -0.55, 0.75), (-0.62 * side, -0.98, 0.2)],
        (0.45, 0.4, 0.33),
        0.1,
    )
    return smin(d, thumb, 0.12)


def parts() -> list[Part]:
    """All skin and eyes."""
    return [
        Part("skin", face),
        Part("eyes", eyes),
        Part("skin", lambda p: hand(p, pose.GRIP_R, 1.0)),
        Part("skin", lambda p: hand(p, pose.GRIP_L, -1.0)),
    ]


def front_of(x: float, z: float, offset: float) -> float:
    """Find the y at which the torso, grown by ``offset``, is met from the front."""
    y = np.linspace(-8.0, 1.0, 2000, dtype=np.float32)
    p = np.stack([np.full_like(y, x), y, np.full_like(y, z)], axis=1)
    return float(y[int(np.argmax(torso(p) - offset < 0.0))])
