"""How far a point is from triangles."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def nearest_on_triangles(point: Floats, corners: NDArray[np.floating]) -> Floats:
    """The point of each triangle that is nearest to a point.

    Parameters
    ----------
    point : (3,) or (triangles, 3) float, any unit.
    corners : (triangles, 3, 3) float, the same unit.

    Returns
    -------
    nearest : (triangles, 3) float64.
    """
    a, b, c = (corners[:, k].astype(np.float64) for k in range(3))
    on_plane = _inside(point, a, b, c)
    best, least = on_plane, _square(on_plane - point)
    least = np.where(np.isfinite(least), least, np.inf)
    for start, end in ((a, b), (b, c), (c, a)):
        along = end - start
        share = np.einsum("ij,ij->i", point - start, along) / np.maximum(_square(along), 1e-30)
        at = start + np.clip(share, 0.0, 1.0)[:, None] * along
        distance = _square(at - point)
        nearer = distance < least
        best = np.where(nearer[:, None], at, best)
        least = np.minimum(distance, least)
    return best


def _inside(point: Floats, a: Floats, b: Floats, c: Floats) -> Floats:
    """The foot of the point on each triangle's plane; infinite when it falls outside."""
    u, v, w = b - a, c - a, point - a
    uu, uv, vv = _square(u), np.einsum("ij,ij->i", u, v), _square(v)
    wu, wv = np.einsum("ij,ij->i", w, u), np.einsum("ij,ij->i", w, v)
    whole = uu * vv - uv * uv
    sound = whole > 1e-30
    safe = np.where(sound, whole, 1.0)
    s, t = (vv * wu - uv * wv) / safe, (uu * wv - uv * wu) / safe
    inside = sound & (s >= 0) & (t >= 0) & (s + t <= 1)
    foot = a + s[:, None] * u + t[:, None] * v
    return np.where(inside[:, None], foot, np.inf)


def _square(v: Floats) -> Floats:
    """Squared length of each row; infinite rows stay infinite."""
    return np.asarray(np.einsum("ij,ij->i", v, v))
