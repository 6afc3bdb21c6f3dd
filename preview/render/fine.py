"""Drawn pictures of face numbers as what each sample sees."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from preview.render.plane import on_faces
from preview.render.seen import Drawn, Seen
from preview.render.view import View
from preview.shape.compiled import compiled

Floats = NDArray[np.float32]
Ints = NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Hits:
    """The samples that show the sculpt, pixel by pixel.

    pixel, face : (samples,) int32.
    place : (samples, 2) float32, pixels right of and below the picture's top left corner.
    depth : (samples,) float32, mm, as in `Seen`.
    """

    pixel: Ints
    face: Ints
    place: Floats
    depth: Floats


def finer(view: View, samples: int) -> View:
    """The same view with a pixel for each sample; samples is a square number."""
    side = math.isqrt(samples)
    if side < 1 or side * side != samples:
        raise ValueError(f"samples per pixel must be a square number, got {samples}")
    return replace(
        view,
        width=view.width * side,
        height=view.height * side,
        mm_per_pixel=view.mm_per_pixel / side,
    )


def seen_of(drawn: Drawn, vertices: Floats, faces: Ints) -> Seen:
    """What each sample of a drawn picture sees.

    Parameters
    ----------
    vertices : (vertices, 3) float32, mm.
    faces : (faces, 3) int32.
    """
    hits = hits_of(drawn)
    bary, depth = on_faces(drawn.view, hits.place, vertices, faces, hits.face)
    weight = np.full(len(hits.pixel), 1.0 / drawn.side**2, np.float32)
    return Seen(drawn.view, hits.pixel, weight, hits.face, bary, depth)


def hits_of(drawn: Drawn) -> Hits:
    """The samples that show the sculpt, pixel by pixel."""
    count = int(np.count_nonzero(drawn.number >= 0))
    pixel, face = np.empty(count, np.int32), np.empty(count, np.int32)
    place, depth = np.empty((count, 2), np.float32), np.empty(count, np.float32)
    _by_pixel(drawn.number, drawn.depth, drawn.view.width, drawn.side, pixel, face, place, depth)
    return Hits(pixel, face, place, depth)


@compiled
def _by_pixel(
    number: Ints,
    far: Floats,
    width: int,
    side: int,
    pixel: Ints,
    face: Ints,
    place: Floats,
    depth: Floats,
) -> None:
    """Fill in what each sample that hits shows, and where it lies."""
    fine_width = width * side
    height = len(number) // (fine_width * side)
    step = 1.0 / side
    count = 0
    for row in range(height):
        for column in range(width):
            corner = row * side * fine_width + column * side
            for down in range(side):
                for right in range(side):
                    at = corner + down * fine_width + right
                    if number[at] >= 0:
                        pixel[count], face[count] = row * width + column, number[at]
                        place[count, 0] = column + (right + 0.5) * step
                        place[count, 1] = row + (down + 0.5) * step
                        depth[count] = far[at]
                        count += 1
