"""Distance-field primitives: every function maps an ``(n, 3)`` array to ``(n,)`` distances.

Lengths are millimetres.  Negative means inside.  The fields need not be exact
distances away from their surface; they only have to be sound near it.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import map_coordinates

Array = NDArray[np.floating[Any]]
Field = Callable[[Array], Array]
Vec = Sequence[float] | Array


@dataclass(frozen=True)
class Part:
    """One solid of the figure, with the paint area its surface belongs to."""

    area: str
    field: Field


def vec(v: Vec) -> Array:
    """Return ``v`` as a float32 vector."""
    return np.asarray(v, dtype=np.float32)


def norm(v: Array) -> Array:
    """Row lengths."""
    return np.asarray(np.sqrt(np.einsum("ij,ij->i", v, v)))


def unit(v: Vec) -> Array:
    """Return ``v`` scaled to length one."""
    a = np.asarray(v, dtype=np.float64)
    return np.asarray(a / np.linalg.norm(a), dtype=np.float32)


def smin(a: Array, b: Array, k: float) -> Array:
    """Union with a fillet of about ``k``."""
    h = np.maximum(k - np.abs(a - b), 0.0) / k
    return np.minimum(a, b) - h * h * (k * 0.25)


def smax(a: Array, b: Array, k: float) -> Array:
    """Intersection with a rounded edge of about ``k``."""
    h = np.maximum(k - np.abs(a - b), 0.0) / k
    return np.maximum(a, b) + h * h * (k * 0.25)


def blend(fields: Sequence[Array], k: float) -> Array:
    """Fillet-union of several distances, in order."""
    out = fields[0]
    for f in fields[1:]:
        out = smin(out, f, k)
    return out


def ramp(x: Array, a: float, b: float) -> Array:
    """Smooth step from 0 at ``a`` to 1 at ``b`` (``a`` may exceed ``b``)."""
    t = np.clip((x - a) / (b - a), 0.0, 1.0)
    return np.asarray(t * t * (3.0 - 2.0 * t))


def sphere(p: Array, c: Vec, r: float) -> Array:
    """Ball at ``c``."""
    return norm(p - vec(c)) - r


def ellipsoid(p: Array, c: Vec, r: Vec) -> Array:
    """Axis-aligned ellipsoid (first-order distance)."""
    q = (p - vec(c)) / vec(r)
    k0 = norm(q)
    k1 = norm(q / vec(r)) + 1e-6
    return np.asarray(k0 * (k0 - 1.0) / k1)


def capsule(p: Array, a: Vec, b: Vec, ra: float, rb: float) -> Array:
    """Round-ended cone from ``a`` to ``b``."""
    va, ab = vec(a), vec(b) - vec(a)
    rel = p - va
    h = np.clip(rel @ ab / float(ab @ ab), 0.0, 1.0)
    return norm(rel - h[:, None] * ab) - (ra + (rb - ra) * h)


def chain(p: Array, points: Sequence[Vec], radii: Vec, k: float) -> Array:
    """Fillet-union of capsules through ``points``."""
    pairs = zip(points[:-1], points[1:], radii[:-1], radii[1:], strict=True)
    return blend([capsule(p, a, b, ra, rb) for a, b, ra, rb in pairs], k)


def box(p: Array, c: Vec, half: Vec, r: float = 0.0) -> Array:
    """Box of half-size ``half`` with edges rounded by ``r``."""
    q = np.abs(p - vec(c)) - (vec(half) - r)
    return np.asarray(norm(np.maximum(q, 0.0)) + np.minimum(q.max(axis=1), 0.0) - r)


def disc(p: Array, z0: float, z1: float, r: float, e: float = 0.05) -> Array:
    """Upright cylinder between two heights, with edges rounded by ``e``."""
    rho = np.hypot(p[:, 0], p[:, 1]) - (r - e)
    q = np.abs(p[:, 2] - 0.5 * (z0 + z1)) - (0.5 * (z1 - z0) - e)
    out = np.hypot(np.maximum(rho, 0.0), np.maximum(q, 0.0))
    return np.asarray(out + np.minimum(np.maximum(rho, q), 0.0) - e)


def torus(p: Array, z: float, big: float, small: float) -> Array:
    """Ring lying flat at height ``z``."""
    return np.asarray(np.hypot(np.hypot(p[:, 0], p[:, 1]) - big, p[:, 2] - z) - small)


def mirror(p: Array) -> Array:
    """Fold the left half onto the right half (x made positive)."""
    q = p.copy()
    q[:, 0] = np.abs(q[:, 0])
    return q


@dataclass(frozen=True)
class Frame:
    """A place with its own axes (rows of ``axes`` are the axes in world space)."""

    origin: Array
    axes: Array
    scale: float = 1.0

    @staticmethod
    def turned(
        origin: Vec, yaw: float = 0.0, pitch: float = 0.0, roll: float = 0.0, scale: float = 1.0
    ) -> "Frame":
        """Frame turned by degrees: ``roll`` about y, ``pitch`` about x, then ``yaw`` about z.

        Distances measured in a scaled frame must be multiplied by ``scale``.
        """
        y, q, r = np.radians([yaw, pitch, roll])
        rz = np.array([[np.cos(y), -np.sin(y), 0], [np.sin(y), np.cos(y), 0], [0, 0, 1]])
        rx = np.array([[1, 0, 0], [0, np.cos(q), -np.sin(q)], [0, np.sin(q), np.cos(q)]])
        ry = np.array([[np.cos(r), 0, np.sin(r)], [0, 1, 0], [-np.sin(r), 0, np.cos(r)]])
        return Frame(vec(origin), (rz @ rx @ ry).T.astype(np.float32), scale)

    @staticmethod
    def aimed(origin: Vec, x: Vec, z: Vec) -> "Frame":
        """Frame whose x axis is ``x`` and whose z axis lies nearest to ``z``."""
        ex = unit(x)
        ez = unit(vec(z) - (vec(z) @ ex) * ex)
        return Frame(vec(origin), np.stack([ex, np.cross(ez, ex), ez]).astype(np.float32))

    def local(self, p: Array) -> Array:
        """World points seen from this frame."""
        return (p - self.origin) @ self.axes.T / np.float32(self.scale)

    def world(self, p: Array | Sequence[Vec]) -> Array:
        """Frame points put back into the world."""
        return np.asarray(p, dtype=np.float32) @ self.axes * np.float32(self.scale) + self.origin


_TABLE = np.random.default_rng(5).uniform(-1.0, 1.0, (64, 64, 64)).astype(np.float32)


def value_noise(p: Array, scale: float, seed: int) -> Array:
    """Smooth noise in -1..1 whose blobs measure about ``scale``."""
    q = p / np.float32(scale) + np.float32(7.31 * seed)
    cell = np.floor(q)
    f = q - cell
    at = (cell + f * f * (3.0 - 2.0 * f)).T
    out = map_coordinates(_TABLE, at, order=1, mode="grid-wrap", prefilter=False)
    return np.asarray(out, dtype=np.float32)


def nearby(field: Field, bound: Array, p: Array, margin: float = 2.5) -> Array:
    """Ask ``field`` only where its lower ``bound`` is small; elsewhere give the bound."""
    out = bound.astype(np.float32)
    close = np.flatnonzero(bound < margin)
    if len(close):
        out[close] = field(p[close])
    return out
