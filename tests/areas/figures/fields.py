"""What figures sculpted in code are made of: fields of distances, shells, the labelled mesh."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Field = Callable[[Array], Array]
Vec = tuple[float, float, float]

FILLET_MM = 0.2


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


@dataclass(frozen=True, eq=False)
class Shell:
    """A connected surface whose faces share their vertices, with the area of each face."""

    vertices: Array
    faces: NDArray[np.integer]
    area: NDArray[np.integer]


def side_by_side(shells: Sequence[Shell], names: tuple[str, ...]) -> Figure:
    """All shells in one mesh, none joined to another; their areas are indices into names."""
    starts = np.cumsum([0, *(len(shell.vertices) for shell in shells[:-1])])
    moved = [shell.faces + start for shell, start in zip(shells, starts, strict=True)]
    return Figure(
        np.concatenate([shell.vertices for shell in shells]).astype(np.float32),
        np.concatenate(moved).astype(np.int32),
        np.concatenate([shell.area for shell in shells]).astype(np.int32),
        names,
    )


def largest_piece(
    vertices: NDArray[np.float32], faces: NDArray[np.int32]
) -> tuple[NDArray[np.float32], NDArray[np.int32]]:
    """The one solid, without bubbles and specks."""
    from preview.shape.neighbours import neighbours_of, shells_of

    _, shell = shells_of(len(faces), neighbours_of(faces))
    kept = faces[shell == np.argmax(np.bincount(shell))]
    used, new = np.unique(kept, return_inverse=True)
    return vertices[used], new.reshape(-1, 3).astype(np.int32)


def filleted(a: Array, b: Array) -> Array:
    """Both bodies, with a small fillet where they meet."""
    with np.errstate(invalid="ignore"):
        near = np.maximum(FILLET_MM - np.abs(a - b), 0.0) / FILLET_MM
    near = np.where(np.isfinite(a), near, 0.0)
    return np.minimum(a, b) - near * near * FILLET_MM / 4


def ball(middle: Vec, reach: Vec) -> Field:
    """An ellipsoid along the axes."""

    def field(p: Array) -> Array:
        q = (p - np.array(middle)) / np.array(reach)
        k0 = np.linalg.norm(q, axis=1)
        k1 = np.linalg.norm(q / np.array(reach), axis=1) + 1e-9
        return k0 * (k0 - 1.0) / k1

    return field


def cone(start: Vec, end: Vec, first: float, last: float) -> Field:
    """A round-ended cone."""

    def field(p: Array) -> Array:
        along, rel = np.array(end) - np.array(start), p - np.array(start)
        share = np.clip(rel @ along / float(along @ along), 0.0, 1.0)
        return np.linalg.norm(rel - share[:, None] * along, axis=1) - (
            first + (last - first) * share
        )

    return field


def disc(middle: Vec, radius: float, half: float) -> Field:
    """An upright cylinder."""

    def field(p: Array) -> Array:
        q = p - np.array(middle)
        side, top = np.hypot(q[:, 0], q[:, 1]) - radius, np.abs(q[:, 2]) - half
        out = np.hypot(np.maximum(side, 0.0), np.maximum(top, 0.0))
        return out + np.minimum(np.maximum(side, top), 0.0)

    return field


def ring(middle: Vec, radius: float, thick: float) -> Field:
    """A torus lying flat."""

    def field(p: Array) -> Array:
        q = p - np.array(middle)
        return np.hypot(np.hypot(q[:, 0], q[:, 1]) - radius, q[:, 2]) - thick

    return field


def box(middle: Vec, half: Vec) -> Field:
    """A box along the axes."""

    def field(p: Array) -> Array:
        q = np.abs(p - np.array(middle)) - np.array(half)
        return np.linalg.norm(np.maximum(q, 0.0), axis=1) + np.minimum(q.max(axis=1), 0.0)

    return field
