"""A second figure with exact areas, as a field of distances: a beekeeper beside a hive.

It was made to judge the finding of areas by, and no setting was chosen on it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Field = Callable[[Array], Array]
Vec = tuple[float, float, float]

FILLET_MM = 0.2
_ROUGH = 4
_LOW, _HIGH = np.array([-13.0, -11.0, -0.5]), np.array([15.0, 11.0, 34.5])


@dataclass(frozen=True)
class Solid:
    """A body of the figure and the area that its surface belongs to."""

    area: str
    field: Field


@dataclass(frozen=True, eq=False)
class Figure:
    """A mesh in mm, Z up, with the area of each face."""

    vertices: NDArray[np.float32]
    faces: NDArray[np.int32]
    area: NDArray[np.int32]
    names: tuple[str, ...]


def beekeeper(cell: float = 0.3) -> Figure:
    """Sculpt the figure in cubes of some size, mm."""
    from skimage.measure import marching_cubes

    vertices, faces, _, _ = marching_cubes(
        _volume(cell), 0.0, spacing=(cell,) * 3, gradient_direction="descent"
    )
    vertices, faces = (vertices + _LOW).astype(np.float32), faces.astype(np.int32)
    vertices, faces = _largest_piece(vertices, faces)
    names = tuple(dict.fromkeys(solid.area for solid in _solids()))
    middle = vertices[faces].mean(axis=1).astype(np.float64)
    near = np.argmin([np.abs(solid.field(middle)) for solid in _solids()], axis=0)
    numbers = np.array([names.index(solid.area) for solid in _solids()], np.int32)
    return Figure(vertices, faces, numbers[near], names)


def _volume(cell: float) -> Array:
    """The field on a grid, exact near the surface only, rough elsewhere."""
    rough = cell * _ROUGH
    counts = [int(np.ceil(span / rough)) for span in _HIGH - _LOW]
    middles = _grid(counts, rough) + rough / 2
    far = _whole(middles).reshape(counts)
    for axis in range(3):
        far = far.repeat(_ROUGH, axis=axis)
    volume = far.ravel()
    near = np.flatnonzero(np.abs(volume) < 1.5 * rough)
    volume[near] = _whole(_grid(list(far.shape), cell)[near])
    return volume.reshape(far.shape)


def _grid(counts: list[int], step: float) -> Array:
    """Places on a grid, the last axis fastest."""
    axes = [np.arange(count) * step for count in counts]
    return np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3) + _LOW


def _whole(places: Array) -> Array:
    """All bodies together."""
    found = np.full(len(places), np.inf)
    for solid in _solids():
        found = _filleted(found, solid.field(places))
    return found


def _largest_piece(
    vertices: NDArray[np.float32], faces: NDArray[np.int32]
) -> tuple[NDArray[np.float32], NDArray[np.int32]]:
    """The one solid, without bubbles and specks."""
    from preview.shape.neighbours import neighbours_of, shells_of

    _, shell = shells_of(len(faces), neighbours_of(faces))
    kept = faces[shell == np.argmax(np.bincount(shell))]
    used, new = np.unique(kept, return_inverse=True)
    return vertices[used], new.reshape(-1, 3).astype(np.int32)


def _solids() -> list[Solid]:
    """Every body, the large ones first."""
    both = (-1.0, 1.0)
    found = [
        Solid("ground", _disc((0, 0, 0.9), 11.5, 0.9)),
        Solid("ground", _ball((6.5, 3.0, 0.6), (5.0, 5.5, 1.9))),
        Solid("hive", _ball((7.6, 2.6, 5.4), (3.5, 3.5, 4.6))),
        Solid("smock", _cone((-2.5, 0, 10.0), (-2.5, 0, 20.5), 4.3, 2.9)),
        Solid("veil", _cone((-2.5, -0.3, 22.0), (-2.5, -0.2, 27.0), 2.7, 2.2)),
        Solid("hat", _disc((-2.5, -0.2, 28.3), 4.6, 0.35)),
        Solid("hat", _ball((-2.5, -0.2, 28.8), (2.4, 2.4, 2.6))),
        Solid("smoker", _cone((-9.2, -4.6, 15.2), (-9.2, -4.6, 18.6), 1.35, 1.35)),
        Solid("smoker", _cone((-9.2, -4.6, 18.8), (-10.4, -5.9, 20.8), 0.95, 0.35)),
        Solid("bellows", _box((-7.4, -4.6, 16.6), (0.5, 1.2, 1.5))),
        Solid("band", _ring((-2.5, -0.2, 28.9), 2.45, 0.38)),
        Solid("sash", _ring((-2.5, 0, 14.6), 3.55, 0.65)),
        Solid("sash", _cone((-1.0, -3.9, 14.2), (-0.4, -4.6, 10.6), 0.55, 0.7)),
    ]
    for level in (2.4, 4.2, 6.0, 7.7):
        reach = 3.5 * np.sqrt(max(0.0, 1 - ((level - 5.4) / 4.6) ** 2))
        found.append(Solid("straw", _ring((7.6, 2.6, level), float(reach), 0.42)))
    for side in both:
        hip, knee = (-2.5 + 1.9 * side, 0.0, 10.4), (-2.5 + 2.3 * side, -0.5, 6.2)
        ankle = (-2.5 + 2.4 * side, 0.2, 3.4)
        found += [
            Solid("trousers", _cone(hip, knee, 2.0, 1.6)),
            Solid("trousers", _cone(knee, ankle, 1.6, 1.35)),
            Solid("boots", _cone((ankle[0], 0.2, 4.6), (ankle[0], 0.2, 2.4), 1.75, 1.5)),
            Solid("boots", _ball((ankle[0], -0.9, 2.4), (1.6, 2.7, 1.1))),
        ]
    left, right = (-7.2, -2.6, 15.6), (2.2, 1.6, 13.2)
    found += [
        Solid("smock", _cone((-5.0, 0, 19.6), (-7.3, -0.6, 16.4), 1.8, 1.5)),
        Solid("smock", _cone((-7.3, -0.6, 16.4), left, 1.5, 1.25)),
        Solid("smock", _cone((0.0, 0, 19.6), (1.9, 1.0, 16.0), 1.8, 1.5)),
        Solid("smock", _cone((1.9, 1.0, 16.0), right, 1.5, 1.25)),
        Solid("gloves", _ball((-7.5, -4.0, 15.4), (1.3, 1.5, 1.3))),
        Solid("gloves", _ball((2.8, 2.0, 11.9), (1.3, 1.3, 1.6))),
    ]
    return found


def _filleted(a: Array, b: Array) -> Array:
    """Both bodies, with a small fillet where they meet."""
    with np.errstate(invalid="ignore"):
        near = np.maximum(FILLET_MM - np.abs(a - b), 0.0) / FILLET_MM
    near = np.where(np.isfinite(a), near, 0.0)
    return np.minimum(a, b) - near * near * FILLET_MM / 4


def _ball(middle: Vec, reach: Vec) -> Field:
    """An ellipsoid along the axes."""

    def field(p: Array) -> Array:
        q = (p - np.array(middle)) / np.array(reach)
        k0 = np.linalg.norm(q, axis=1)
        k1 = np.linalg.norm(q / np.array(reach), axis=1) + 1e-9
        return k0 * (k0 - 1.0) / k1

    return field


def _cone(start: Vec, end: Vec, first: float, last: float) -> Field:
    """A round-ended cone."""

    def field(p: Array) -> Array:
        along, rel = np.array(end) - np.array(start), p - np.array(start)
        share = np.clip(rel @ along / float(along @ along), 0.0, 1.0)
        return np.linalg.norm(rel - share[:, None] * along, axis=1) - (
            first + (last - first) * share
        )

    return field


def _disc(middle: Vec, radius: float, half: float) -> Field:
    """An upright cylinder."""

    def field(p: Array) -> Array:
        q = p - np.array(middle)
        side, top = np.hypot(q[:, 0], q[:, 1]) - radius, np.abs(q[:, 2]) - half
        out = np.hypot(np.maximum(side, 0.0), np.maximum(top, 0.0))
        return out + np.minimum(np.maximum(side, top), 0.0)

    return field


def _ring(middle: Vec, radius: float, thick: float) -> Field:
    """A torus lying flat."""

    def field(p: Array) -> Array:
        q = p - np.array(middle)
        return np.hypot(np.hypot(q[:, 0], q[:, 1]) - radius, q[:, 2]) - thick

    return field


def _box(middle: Vec, half: Vec) -> Field:
    """A box along the axes."""

    def field(p: Array) -> Array:
        q = np.abs(p - np.array(middle)) - np.array(half)
        return np.linalg.norm(np.maximum(q, 0.0), axis=1) + np.minimum(q.max(axis=1), 0.0)

    return field
