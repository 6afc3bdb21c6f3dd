"""Fields around sampled curves and sheets, answered with a k-d tree.

A sample of radius ``r`` is lifted into a fourth coordinate so that the nearest
neighbour in four dimensions is the sample of least *power distance*.  The zero
set is then exactly the union of the samples' balls, without steps between
neighbours of unlike radius.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline
from scipy.spatial import cKDTree

from .sdf import Array, Vec


@dataclass(frozen=True)
class Near:
    """What a query found: offset lengths, arc length, angle, radius and curve number."""

    dist: Array
    t: Array
    angle: Array
    radius: Array
    curve: NDArray[np.int32]
    dirn: Array

    @property
    def d(self) -> Array:
        """Plain tube distance."""
        return self.dist - self.radius


def _lift(points: Array, radii: Array) -> tuple[cKDTree, float]:
    top = float(radii.max())
    extra = np.sqrt(np.maximum(top * top - radii * radii, 0.0))
    return cKDTree(np.column_stack([points, extra])), top


def _ask(tree: cKDTree, p: Array) -> NDArray[np.int64]:
    _, idx = tree.query(np.column_stack([p, np.zeros(len(p), dtype=np.float32)]), workers=-1)
    return np.asarray(idx)


class Tubes:
    """One or many smooth tapering tubes through control points."""

    def __init__(
        self, curves: Sequence[tuple[Sequence[Vec], Vec]], step: float = 0.05, closed: bool = False
    ) -> None:
        """Sample splines through ``curves``, each a list of points and a list of radii."""
        pts, tan, nor, rad, arc, num = [], [], [], [], [], []
        for i, (control, radii) in enumerate(curves):
            c = np.asarray(control, dtype=np.float64)
            s = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(c, axis=0), axis=1))])
            spline = CubicSpline(s, c, bc_type="periodic" if closed else "natural")
            t = np.linspace(0.0, s[-1], max(8, int(s[-1] / step)))
            x = spline(t)
            d = spline(t, 1)
            d /= np.linalg.norm(d, axis=1)[:, None]
            pts.append(x)
            tan.append(d)
            nor.append(_carried(d))
            rad.append(np.interp(t, s, np.asarray(radii, dtype=np.float64)))
            seg = np.linalg.norm(np.diff(x, axis=0), axis=1)
            arc.append(np.concatenate([[0.0], np.cumsum(seg)]))
            num.append(np.full(len(t), i, dtype=np.int32))
        self.points = np.concatenate(pts)
        self.tangents = np.concatenate(tan)
        self.normals = np.concatenate(nor)
        self.radii = np.concatenate(rad)
        self.arc = np.concatenate(arc)
        self.number = np.concatenate(num)
        self.lengths = [float(a[-1]) for a in arc]
        self.step = step
        self.tree, _ = _lift(self.points, self.radii)

    def bound(self, p: Array) -> Array:
        """Distance to a box that holds every tube."""
        top = self.radii.max() + 0.6
        low, high = self.points.min(axis=0) - top, self.points.max(axis=0) + top
        q = np.abs(p - 0.5 * (low + high)) - 0.5 * (high - low)
        return np.asarray(np.linalg.norm(np.maximum(q, 0.0), axis=1), dtype=np.float32)

    def near(self, p: Array) -> Near:
        """Find the sample of least power distance for every point."""
        i = _ask(self.tree, p)
        rel = p - self.points[i]
        tan = self.tangents[i]
        along = np.einsum("ij,ij->i", rel, tan)
        slide = np.clip(along, -self.step, self.step)
        off = rel - slide[:, None] * tan
        dist = np.linalg.norm(off, axis=1)
        n = self.normals[i]
        b = np.cross(tan, n)
        angle = np.arctan2(np.einsum("ij,ij->i", off, b), np.einsum("ij,ij->i", off, n))
        f32 = np.float32
        return Near(
            dist.astype(f32),
            (self.arc[i] + along).astype(f32),
            angle.astype(f32),
            self.radii[i].astype(f32),
            self.number[i],
            (off / np.maximum(dist, 1e-6)[:, None]).astype(f32),
        )


def _carried(tangents: NDArray[np.float64]) -> NDArray[np.float64]:
    """Carry normals along a curve with as little twist as can be."""
    first = np.cross(tangents[0], [0.31, -0.84, 0.45])
    out = np.empty_like(tangents)
    n = first / np.linalg.norm(first)
    for i, t in enumerate(tangents):
        n = n - (n @ t) * t
        n /= np.linalg.norm(n)
        out[i] = n
    return out


class Sheet:
    """A thick cloth through a grid of points, with rounded rims."""

    def __init__(self, grid: Array, radius: Array) -> None:
        """Take points ``(m, n, 3)`` and the half-thickness at each."""
        du = np.gradient(grid, axis=0)
        dv = np.gradient(grid, axis=1)
        n = np.cross(du, dv)
        n /= np.maximum(np.linalg.norm(n, axis=2), 1e-9)[:, :, None]
        self.points = grid.reshape(-1, 3)
        self.normals = n.reshape(-1, 3)
        self.radii = radius.reshape(-1)
        spacing = max(
            float(np.median(np.linalg.norm(du, axis=2))),
            float(np.median(np.linalg.norm(dv, axis=2))),
        )
        self.spacing = spacing
        self.tree, _ = _lift(self.points, self.radii)

    def field(self, p: Array) -> Array:
        """Distance to the cloth's surface."""
        i = _ask(self.tree, p)
        rel = p - self.points[i]
        across = np.einsum("ij,ij->i", rel, self.normals[i])
        flat2 = np.maximum(np.einsum("ij,ij->i", rel, rel) - across * across, 0.0)
        flat = np.maximum(np.sqrt(flat2) - self.spacing, 0.0)
        return np.asarray(np.hypot(across, flat) - self.radii[i], dtype=np.float32)
