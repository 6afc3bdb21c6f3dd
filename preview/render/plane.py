"""Where on its face a sample lies: the ray through it met with the plane of the face."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.render.view import View
from preview.shape.compiled import compiled

Floats = NDArray[np.float32]
Doubles = NDArray[np.float64]
Ints = NDArray[np.int32]


def on_faces(
    view: View, place: Floats, vertices: Floats, faces: Ints, face: Ints
) -> tuple[Floats, Floats]:
    """Barycentrics and depth of places in a picture, given the face that each sees.

    Parameters
    ----------
    view : the camera.
    place : (samples, 2) float32, pixels right of and below the top left corner.
    vertices : (vertices, 3) float32, mm.
    faces : (faces, 3) int32.
    face : (samples,) int32, the face that each sample sees.

    Returns
    -------
    bary : (samples, 2) float32, weights of corners 1 and 2, kept within the face: a drawn edge
        may take in a place that lies a hair beside it.
    depth : (samples,) float32, mm, as in `Seen`.

    References
    ----------
    Möller and Trumbore (1997), "Fast, minimum storage ray/triangle intersection", Journal of
    Graphics Tools 2 (1), equation 6.
    """
    bary, depth = np.empty((len(place), 2), np.float32), np.empty(len(place), np.float32)
    reach = 0.0 if view.orthographic else view.distance_mm
    _meet_planes(
        place,
        np.array([view.width / 2, view.height / 2]),
        view.mm_per_pixel,
        0.0 if view.orthographic else 1.0 / view.distance_mm,
        np.stack(view.axes()),
        np.asarray(view.target) + view.axes()[2] * reach,
        vertices,
        faces,
        face,
        bary,
        depth,
    )
    return bary, depth


@compiled
def _meet_planes(
    place: Floats,
    middle: Doubles,
    mm_per_pixel: float,
    spread: float,
    axes: Doubles,
    eye: Doubles,
    vertices: Floats,
    faces: Ints,
    face: Ints,
    bary: Floats,
    depth: Floats,
) -> None:
    """Fill in bary and depth.

    spread : how much rays diverge: 1 / distance, 0 when they are parallel.
    eye : where rays start, or, when they are parallel, the target.
    """
    way, o, e1, e2 = np.empty(3), np.empty(3), np.empty(3), np.empty(3)
    for i in range(len(place)):
        across = (place[i, 0] - middle[0]) * mm_per_pixel
        up = (middle[1] - place[i, 1]) * mm_per_pixel
        a, b, c = faces[face[i], 0], faces[face[i], 1], faces[face[i], 2]
        for k in range(3):
            corner = np.float64(vertices[a, k])
            e1[k], e2[k] = vertices[b, k] - corner, vertices[c, k] - corner
            sideways = axes[0, k] * across + axes[1, k] * up
            if spread > 0.0:
                o[k], way[k] = eye[k] - corner, sideways * spread - axes[2, k]
            else:
                o[k], way[k] = eye[k] + sideways - corner, -axes[2, k]
        px, py = way[1] * e2[2] - way[2] * e2[1], way[2] * e2[0] - way[0] * e2[2]
        pz = way[0] * e2[1] - way[1] * e2[0]
        qx, qy = o[1] * e1[2] - o[2] * e1[1], o[2] * e1[0] - o[0] * e1[2]
        qz = o[0] * e1[1] - o[1] * e1[0]
        determinant = px * e1[0] + py * e1[1] + pz * e1[2]
        inverse = 0.0 if determinant == 0.0 else 1.0 / determinant
        u = min(max((px * o[0] + py * o[1] + pz * o[2]) * inverse, 0.0), 1.0)
        v = (qx * way[0] + qy * way[1] + qz * way[2]) * inverse
        v = min(max(v, 0.0), 1.0 - u)
        bary[i, 0], bary[i, 1] = u, v
        # How far the place lies before the eye, or behind the plane through the target.
        far = 0.0
        for k in range(3):
            far -= (e1[k] * u + e2[k] * v - o[k]) * axes[2, k]
        depth[i] = far
