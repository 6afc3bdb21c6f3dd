"""What a lamp needs of a sculpt: smooth normals and how open each place is to the sky."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt

Array = NDArray[np.float32]

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
    weighted = sculpt.normal * sculpt.mm2[:, None]
    smooth = _sum_at_vertices(sculpt, weighted)
    smooth /= np.maximum(np.linalg.norm(smooth, axis=1, keepdims=True), 1e-12)
    normal = smooth[sculpt.faces]
    turned = np.einsum("fcx,fx->fc", normal, sculpt.normal) < _CREASE_COSINE
    own = np.broadcast_to(sculpt.normal[:, None, :], normal.shape)
    normal[turned] = own[turned]

    unblocked = np.maximum(0.5 * (1.0 + sculpt.normal[:, 2]), 0.05)
    open_share = np.clip(sky / unblocked, 0.0, 1.0).astype(np.float32)
    weight = np.maximum(_sum_at_vertices(sculpt, sculpt.mm2[:, None]), 1e-12)
    summed = _sum_at_vertices(sculpt, (open_share * sculpt.mm2)[:, None])
    openness = (summed[:, 0] / weight[:, 0]).astype(np.float32)
    return Surface(
        vertices=sculpt.vertices,
        faces=sculpt.faces,
        normal=normal,
        openness=openness[sculpt.faces],
    )


def _sum_at_vertices(sculpt: Sculpt, per_face: Array) -> Array:
    """(vertices, k): the sum over the faces around each vertex."""
    out = np.zeros((len(sculpt.vertices), per_face.shape[1]), dtype=np.float32)
    for corner in range(3):
        index = sculpt.faces[:, corner]
        for k in range(per_face.shape[1]):
            out[:, k] += np.bincount(index, weights=per_face[:, k], minlength=len(out)).astype(
                np.float32
            )
    return out
