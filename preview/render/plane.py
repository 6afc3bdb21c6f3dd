"""Where on its face a sample lies: the ray through it met with the plane of the face."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.render.view import View
from preview.shape.compiled import compiled

Floats = NDArray[np.float32]
Doubles = NDArray[np.float64]
Ints = NDArray[np.int32]

# Samples taken through a loop together; their numbers stay in the processor's nearest cache.
_BLOCK = 128


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
    # Numbers of their own: what is written below could be any array's, for all the compiler knows.
    rx, ry, rz = axes[0, 0], axes[0, 1], axes[0, 2]
    ux, uy, uz = axes[1, 0], axes[1, 1], axes[1, 2]
    bx, by, bz = axes[2, 0], axes[2, 1], axes[2, 2]
    eye_x, eye_y, eye_z = eye[0], eye[1], eye[2]
    column, row = middle[0], middle[1]
    # Rows of one array, so it is plain that what is written is none of what is read: the processor
    # then takes several samples at a time through the loop between gathering and handing out.
    room = np.zeros((14, _BLOCK))
    of_b, of_c, far = room[11], room[12], room[13]
    for start in range(0, len(place), _BLOCK):
        count = min(_BLOCK, len(place) - start)
        for i in range(count):
            f = np.uint32(face[start + i])
            for k in range(3):
                vertex = np.uint32(faces[f, k])
                for x in range(3):
                    room[3 * k + x, i] = vertices[vertex, x]
            room[9, i], room[10, i] = place[start + i, 0], place[start + i, 1]
        for i in range(_BLOCK):
            across, up = (room[9, i] - column) * mm_per_pixel, (row - room[10, i]) * mm_per_pixel
            ax, ay, az = room[0, i], room[1, i], room[2, i]
            e1x, e1y, e1z = room[3, i] - ax, room[4, i] - ay, room[5, i] - az
            e2x, e2y, e2z = room[6, i] - ax, room[7, i] - ay, room[8, i] - az
            sx, sy, sz = rx * across + ux * up, ry * across + uy * up, rz * across + uz * up
            ox, oy, oz = eye_x - ax, eye_y - ay, eye_z - az
            dx, dy, dz = -bx, -by, -bz
            if spread > 0.0:
                dx, dy, dz = sx * spread - bx, sy * spread - by, sz * spread - bz
            else:
                ox, oy, oz = eye_x + sx - ax, eye_y + sy - ay, eye_z + sz - az
            px, py, pz = dy * e2z - dz * e2y, dz * e2x - dx * e2z, dx * e2y - dy * e2x
            qx, qy, qz = oy * e1z - oz * e1y, oz * e1x - ox * e1z, ox * e1y - oy * e1x
            determinant = px * e1x + py * e1y + pz * e1z
            inverse = 0.0 if determinant == 0.0 else 1.0 / determinant
            u = min(max((px * ox + py * oy + pz * oz) * inverse, 0.0), 1.0)
            v = (qx * dx + qy * dy + qz * dz) * inverse
            v = min(max(v, 0.0), 1.0 - u)
            of_b[i], of_c[i] = u, v
            # How far the place lies before the eye, or behind the plane through the target.
            ahead = (ox - e1x * u - e2x * v) * bx
            ahead += (oy - e1y * u - e2y * v) * by
            ahead += (oz - e1z * u - e2z * v) * bz
            far[i] = ahead
        for i in range(count):
            bary[start + i, 0], bary[start + i, 1], depth[start + i] = of_b[i], of_c[i], far[i]
