"""From parts to a labelled, watertight triangle mesh."""

import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from fast_simplification import simplify
from numpy.typing import NDArray
from skimage.measure import marching_cubes

from .mend import largest_piece, part_sheets
from .sdf import Array, Part

Faces = NDArray[np.int64]
Bools = NDArray[np.bool_]
Labels = NDArray[np.int32]
SIDE = 8
CHUNK = 400
LOW = (-17.0, -15.5, -0.6)
HIGH = (19.0, 15.5, 40.0)
MIN_VOXEL, MAX_VOXEL = 0.04, 0.6


def say(text: str) -> None:
    """Report progress on the error stream."""
    sys.stderr.write(f"[{time.strftime('%H:%M:%S')}] {text}\n")
    sys.stderr.flush()


@dataclass(frozen=True)
class Mesh:
    """Vertices in millimetres, faces, and the part each face belongs to."""

    vertices: NDArray[np.float64]
    faces: Faces
    part: Labels


class Scene:
    """Parts sampled on a grid of blocks; only blocks near a surface are filled in full."""

    def __init__(
        self,
        parts: Sequence[Part],
        voxel: float,
        low: Sequence[float] = LOW,
        high: Sequence[float] = HIGH,
    ) -> None:
        """Lay out the grid for ``voxel``-sized cells between two corners."""
        if not MIN_VOXEL <= voxel <= MAX_VOXEL:
            raise ValueError(f"voxel must lie between {MIN_VOXEL} and {MAX_VOXEL} mm, not {voxel}")
        self.parts = list(parts)
        self.voxel = voxel
        self.low = np.asarray(low, dtype=np.float64)
        span = np.asarray(high, dtype=np.float64) - self.low
        self.blocks = np.ceil(span / (voxel * SIDE)).astype(int)
        ticks = [np.arange(n) for n in self.blocks]
        self.index = np.stack(np.meshgrid(*ticks, indexing="ij"), axis=-1).reshape(-1, 3)
        self.near: list[Bools] = []

    def _sample(self, part: Part, volume: NDArray[np.float32]) -> Bools:
        """Lower ``volume`` by one part; return which blocks its surface may cross."""
        size = self.voxel * SIDE
        centre = (self.low + (self.index + 0.5) * size).astype(np.float32)
        d = part.field(centre)
        reach = 0.5 * size * np.sqrt(3.0)
        near: Bools = np.abs(d) < 1.3 * reach + 0.35
        for b in np.flatnonzero((d < 0) & ~near):
            i, j, k = self.index[b] * SIDE
            block = volume[i : i + SIDE, j : j + SIDE, k : k + SIDE]
            np.minimum(block, d[b], out=block)
        t = np.arange(SIDE)
        cell = np.stack(np.meshgrid(t, t, t, indexing="ij"), axis=-1).reshape(-1, 3)
        todo = np.flatnonzero(near)
        for start in range(0, len(todo), CHUNK):
            some = todo[start : start + CHUNK]
            at = self.index[some][:, None, :] * SIDE + cell[None]
            p = (self.low + at.reshape(-1, 3) * self.voxel).astype(np.float32)
            value = part.field(p).reshape(len(some), SIDE, SIDE, SIDE)
            for b, v in zip(some, value, strict=True):
                i, j, k = self.index[b] * SIDE
                block = volume[i : i + SIDE, j : j + SIDE, k : k + SIDE]
                np.minimum(block, v, out=block)
        return near

    def mesh(self) -> tuple[NDArray[np.float64], Faces]:
        """Sample every part and pull out the surface of their union."""
        volume = np.full(tuple(self.blocks * SIDE), 1.0, dtype=np.float32)
        for n, part in enumerate(self.parts):
            begun = time.perf_counter()
            self.near.append(self._sample(part, volume))
            took = time.perf_counter() - begun
            if took > 1.0:
                say(f"part {n + 1} of {len(self.parts)} ({part.area}) {took:.1f} s")
        volume[np.abs(volume) < 1e-4] = 1e-4
        for axis in range(3):
            edge = np.moveaxis(volume, axis, 0)
            edge[0], edge[-1] = 1.0, 1.0
        say("pulling out the surface")
        surface: Callable[..., Any] = marching_cubes
        v, f, _, _ = surface(volume, 0.0, allow_degenerate=False)
        return self.low + v.astype(np.float64) * self.voxel, f.astype(np.int64)

    def two_nearest(self, points: NDArray[np.float64]) -> tuple[Labels, Labels]:
        """For each point, the parts with the least and the second least distance."""
        size = self.voxel * SIDE
        cell = np.clip(((points - self.low) / size).astype(int), 0, self.blocks - 1)
        block = np.ravel_multi_index(tuple(cell.T), tuple(self.blocks))
        p = points.astype(np.float32)
        best = np.full((2, len(p)), np.inf, dtype=np.float32)
        which = np.full((2, len(p)), -1, dtype=np.int32)
        for n, part in enumerate(self.parts):
            i = np.flatnonzero(self.near[n][block])
            if not len(i):
                continue
            d = part.field(p[i])
            first = d < best[0, i]
            a, b = i[first], i[~first]
            best[1, a], which[1, a] = best[0, a], which[0, a]
            best[0, a], which[0, a] = d[first], n
            d2 = d[~first]
            second = d2 < best[1, b]
            best[1, b[second]], which[1, b[second]] = d2[second], n
        return which[0], which[1]

    def _slope(self, part: int, p: NDArray[np.float64]) -> tuple[Array, NDArray[np.float64]]:
        """Value and gradient of one part."""
        h = 0.012
        field = self.parts[part].field
        steps = np.concatenate([p] + [p + h * e for e in np.eye(3)])
        d = field(steps.astype(np.float32)).reshape(4, -1)
        grad = (d[1:] - d[0]).T / h
        return d[0], grad.astype(np.float64)

    def settle(self, v: NDArray[np.float64], faces: Faces) -> NDArray[np.float64]:
        """Move vertices onto the true surface, and those on creases onto the crease."""
        v = v.copy()
        first, second = self.two_nearest(v)
        v += self._step(v, first, second, np.zeros(len(v), dtype=bool))
        for _ in range(2):
            lab = first[faces]
            odd = (lab[:, 0] != lab[:, 1]) | (lab[:, 1] != lab[:, 2])
            border = np.unique(faces[odd])
            a, b = self.two_nearest(v[border])
            first[border], second[border] = a, b
            v[border] += self._step(v[border], a, b, np.ones(len(border), dtype=bool))
        v[:, 2] = np.maximum(v[:, 2], 0.0)
        return v

    def _step(
        self, v: NDArray[np.float64], first: Labels, second: Labels, mixed: Bools
    ) -> NDArray[np.float64]:
        """One bounded Newton step; ``mixed`` vertices aim for both surfaces at once."""
        value = np.zeros((2, len(v)))
        grad = np.zeros((2, len(v), 3))
        for n in range(len(self.parts)):
            for row, chosen in enumerate((first == n, (second == n) & mixed)):
                i = np.flatnonzero(chosen)
                if len(i):
                    value[row, i], grad[row, i] = self._slope(n, v[i])
        steep = np.maximum(np.einsum("ij,ij->i", grad[0], grad[0]), 0.05)
        step: NDArray[np.float64] = -grad[0] * (value[0] / steep)[:, None]
        crease = np.flatnonzero(mixed & (second >= 0) & (np.abs(value[1]) < self.voxel))
        a = np.einsum("rij,sij->irs", grad[:, crease], grad[:, crease])
        det = a[:, 0, 0] * a[:, 1, 1] - a[:, 0, 1] ** 2
        sharp = det > 0.15 * a[:, 0, 0] * a[:, 1, 1]
        crease, a = crease[sharp], a[sharp]
        if len(crease):
            w = np.linalg.solve(a, value[:, crease].T[:, :, None])[:, :, 0]
            step[crease] = -np.einsum("ir,rij->ij", w, grad[:, crease])
        size = np.linalg.norm(step, axis=1)
        most = 0.45 * self.voxel
        return np.asarray(step * np.minimum(1.0, most / np.maximum(size, 1e-9))[:, None])


def _swell(v: NDArray[np.float64], undo: bool = False) -> NDArray[np.float64]:
    """Enlarge the head's heights and shrink the rock's, so that thinning spares the face."""
    z = np.linspace(-1.0, 45.0, 2000)
    scale = np.interp(z, [0.0, 5.0, 8.0, 26.0, 30.5, 34.5, 37.0], [0.5, 0.5, 1, 1, 2.0, 2.0, 1.2])
    raised = np.concatenate([[0.0], np.cumsum(0.5 * (scale[1:] + scale[:-1]) * np.diff(z))]) - 1.0
    out = v.copy()
    old, new = (raised, z) if undo else (z, raised)
    out[:, 2] = np.interp(v[:, 2], old, new)
    factor = np.interp(v[:, 2] if not undo else out[:, 2], z, scale)[:, None]
    out[:, :2] = v[:, :2] / factor if undo else v[:, :2] * factor
    return out


def build(
    parts: Sequence[Part],
    voxel: float,
    target: int | None = None,
    low: Sequence[float] = LOW,
    high: Sequence[float] = HIGH,
) -> Mesh:
    """Sculpt the parts; thin the mesh to about ``target`` faces if one is given."""
    scene = Scene(parts, voxel, low, high)
    cells = int(np.prod(scene.blocks * SIDE))
    say(f"grid of {cells / 1e6:.1f} million cells of {voxel} mm, {len(scene.parts)} parts")
    v, f = scene.mesh()
    v, f = largest_piece(v, f)
    say(f"{len(f):,} faces; settling them on the surface")
    v = scene.settle(v, f)
    if target is not None and len(f) > target:
        say(f"thinning to {target:,} faces")
        v32, f32 = _swell(v).astype(np.float32), f.astype(np.int32)
        for haste in (3.0, 5.0, 7.0, 9.0):
            if len(f32) > target:
                v32, f32 = simplify(v32, f32, target_count=target, agg=haste)
        v, f = _swell(v32.astype(np.float64), undo=True), f32.astype(np.int64)
        v[:, 2] = np.maximum(v[:, 2], 0.0)
    v, f = largest_piece(*part_sheets(v, f))
    say("naming the faces")
    part, _ = scene.two_nearest(v[f].mean(axis=1))
    return Mesh(v, f, part)
