"""Bodies with plain creases, and marks on them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from preview.areas.marks.model import POINT, Mark, Marks, Spot
from preview.areas.sculpt import Sculpt
from tests.areas.small_meshes import ball, joined
from tests.sculpts import sculpt_of

Point = tuple[float, float, float]


def snowman(cell: float = 0.5) -> tuple[Sculpt, NDArray[np.int32]]:
    """Three balls grown into one solid, 30 mm high, and which ball each face is on."""
    from skimage.measure import marching_cubes

    low = np.array([-9.07, -9.11, -1.13])
    axes = [np.arange(lo, hi, cell) for lo, hi in zip(low, (9.0, 9.0, 31.0), strict=True)]
    x, y, z = np.meshgrid(*axes, indexing="ij")
    balls = ((8.0, 8.0), (19.0, 5.6), (26.5, 3.6))
    fields = np.stack([np.sqrt(x**2 + y**2 + (z - h) ** 2) - r for h, r in balls])
    vertices, faces, _, _ = marching_cubes(
        fields.min(axis=0), 0.0, spacing=(cell,) * 3, gradient_direction="descent"
    )
    places = (vertices + low).astype(np.float32)
    middle = places[faces].mean(axis=1)
    away = [np.abs(np.linalg.norm(middle - np.array([0, 0, h]), axis=1) - r) for h, r in balls]
    return sculpt_of(places, faces), np.argmin(away, axis=0).astype(np.int32)


def touching_balls() -> tuple[Sculpt, NDArray[np.int32]]:
    """A large ball, a small one that touches it, and one far away; which ball a face is on."""
    small, tiny = ball((9.9, 0, 10), 2.0, 12), ball((30, 0, 10), 1.5, 10)
    big = ball((0, 0, 10), 8.0, 24)
    vertices, faces = joined(big, small, tiny)
    sizes = [len(big[1]), len(small[1]), len(tiny[1])]
    return sculpt_of(vertices, faces), np.repeat(np.arange(3, dtype=np.int32), sizes)


def point_mark(area: str, at: Point, normal: Point | None = None, where: str = "") -> Mark:
    """A mark that grows."""
    return Mark(area, POINT, where or f'test, mark "{area}"', (Spot(at, normal),))


def marks_of(
    *marks: Mark, areas: dict[str, tuple[str, ...]] | None = None, count: int = 0
) -> Marks:
    """A marks file's content without a file."""
    return Marks(path=Path("marks.toml"), marks=marks, areas=areas or {}, count=count)


def names_of(sculpt: Sculpt) -> NDArray[np.str_]:
    """(faces,) the area name of each face."""
    return np.array(sculpt.area_names)[sculpt.area]


SNOWMAN = (
    point_mark("belly", (0.0, -8.0, 8.0)),
    point_mark("chest", (0.0, -5.6, 19.0)),
    point_mark("head", (0.0, -3.6, 26.5)),
)
