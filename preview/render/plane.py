"""Where on its face a sample lies: the ray through it met with the plane of the face."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.render.view import View

Floats = NDArray[np.float32]


def on_faces(view: View, pixel: NDArray[np.int32], corners: Floats) -> tuple[Floats, Floats]:
    """Barycentrics and depth of the middles of pixels, given the face that each sees.

    Parameters
    ----------
    view : the camera.
    pixel : (samples,) int32.
    corners : (samples, 3, 3) float32, mm: the corners of each sample's face.

    Returns
    -------
    bary : (samples, 2) float32, weights of corners 1 and 2, kept within the face: a drawn edge
        may take in a pixel whose middle lies a hair beside it.
    depth : (samples,) float32, mm, as in `Seen`.

    References
    ----------
    Möller and Trumbore (1997), "Fast, minimum storage ray/triangle intersection", Journal of
    Graphics Tools 2 (1), equation 6.
    """
    origins, directions = view.rays(1, pixel)
    first = corners[:, 0].astype(np.float64)
    edge1, edge2 = corners[:, 1] - first, corners[:, 2] - first
    offset = origins - first
    p = np.cross(directions, edge2)
    q = np.cross(offset, edge1)
    determinant = np.einsum("sx,sx->s", p, edge1)
    inverse = 1.0 / np.where(determinant == 0, np.inf, determinant)
    u = np.einsum("sx,sx->s", p, offset) * inverse
    v = np.einsum("sx,sx->s", q, np.broadcast_to(directions, q.shape)) * inverse
    u = np.clip(u, 0.0, 1.0)
    v = np.clip(v, 0.0, 1.0 - u)
    place = first + edge1 * u[:, None] + edge2 * v[:, None]
    _, _, back = view.axes()
    towards = (place - np.asarray(view.target)) @ back
    depth = -towards if view.orthographic else view.distance_mm - towards
    return np.stack([u, v], axis=1).astype(np.float32), depth.astype(np.float32)
