"""What a lamp needs of a sculpt: smooth normals and how open each place is to the sky."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.shape.compiled import compiled

Array = NDArray[np.float32]
Ints = NDArray[np.int32]

# Corners keep their face's own normal where the surface turns by more than 60 degrees.
_CREASE_COSINE = 0.5


@dataclass(frozen=True, eq=False)
class Surface:
    """A sculpt's shape for shading.

    vertices : (vertices, 3) float32, mm.
    faces : (faces, 3) int32.
    normal : (faces, 3, 3) float32, unit normal at each corner, smooth within creases.
    openness : (faces, 3) float32 in [0, 1], share of its own sky that each corner sees.
    """

    vertices: Array
    faces: NDArray[np.int32]
    normal: Array
    openness: Array


def surface_of(sculpt: Sculpt, sky: NDArray[np.float32]) -> Surface:
    """Smooth normals and openness of a sculpt.

    Parameters
    ----------
    sky : (faces,) float32 in [0, 1], the baked share of the sky's light per face.
    """
    vertices, faces, normals, sizes = sculpt.vertices, sculpt.faces, sculpt.normal, sculpt.mm2
    sums = np.zeros((len(vertices), 5))
    _sum_at_vertices(faces, normals, sizes, sky, sums)
    normal, openness = np.empty((len(faces), 3, 3), np.float32), np.empty(faces.shape, np.float32)
    _smooth(faces, normals, sums, normal, openness)
    return Surface(vertices=vertices, faces=faces, normal=normal, openness=openness)


@compiled
def _sum_at_vertices(
    faces: Ints, normals: Array, sizes: Array, sky: Array, sums: NDArray[np.float64]
) -> None:
    """Add up, over the faces around each vertex, facing and openness by size, and size.

    How open a face is, is its sky as a share of what it would get if nothing stood in the way.
    """
    for f in range(len(faces)):
        unblocked = max(0.5 * (1.0 + normals[f, 2]), 0.05)
        openness = min(max(sky[f] / unblocked, 0.0), 1.0)
        for k in range(3):
            vertex = faces[f, k]
            for x in range(3):
                sums[vertex, x] += normals[f, x] * np.float64(sizes[f])
            sums[vertex, 3] += openness * sizes[f]
            sums[vertex, 4] += sizes[f]


@compiled
def _smooth(
    faces: Ints, normals: Array, sums: NDArray[np.float64], normal: Array, openness: Array
) -> None:
    """Fill in the mean facing and openness at each corner of each face."""
    for f in range(len(faces)):
        for k in range(3):
            vertex = faces[f, k]
            x, y, z = sums[vertex, 0], sums[vertex, 1], sums[vertex, 2]
            scale = 1.0 / max(np.sqrt(x * x + y * y + z * z), 1e-12)
            turned = x * normals[f, 0] + y * normals[f, 1] + z * normals[f, 2]
            crease = turned * scale < _CREASE_COSINE
            for i in range(3):
                normal[f, k, i] = normals[f, i] if crease else sums[vertex, i] * scale
            openness[f, k] = sums[vertex, 3] / max(sums[vertex, 4], 1e-12)
