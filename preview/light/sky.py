"""How much of the sky each face sees: depth maps from directions that all faces share.

A map from each direction tells how near the first surface comes. A face sees the sky in that
direction when nothing is nearer than the face itself. One map serves every face.
"""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from preview.light.directions import sky_directions
from preview.progress import Progress, silent
from preview.shape.bounds import bounds
from preview.shape.compiled import compiled
from preview.shape.depths import depth_maps
from preview.shape.threads import chunks, in_threads

DIRECTIONS = 128
MAP_PIXELS = 384
_BIAS_PIXELS = 1.5
_BLOCK = 1 << 14
_BATCH = 64
# Faces whose numbers stay in the processor's cache while all maps are asked.
_TILE = 512

Floats = NDArray[np.float32]


class Body(Protocol):
    """A mesh: vertices, (vertices, 3) float32 in mm, and faces, (faces, 3) int32."""

    @property
    def vertices(self) -> Floats: ...

    @property
    def faces(self) -> NDArray[np.int32]: ...


def sky_light(
    centres: Floats,
    normals: Floats,
    body: Body,
    directions: int = DIRECTIONS,
    map_pixels: int = MAP_PIXELS,
    progress: Progress = silent,
) -> Floats:
    """The share of the upper hemisphere's light that reaches each face.

    (1 / pi) times the integral of visibility times cosine over the upper world hemisphere. What
    an unblocked face would get is known in closed form, (1 + n_z) / 2; the maps tell which share
    of it is blocked, so that convex bodies come out exact.

    Parameters
    ----------
    centres, normals : (faces, 3) float32, mm and unitless; places on the mesh.
    body : the mesh that blocks, mm.
    directions : how many maps.
    map_pixels : across the sculpt's largest extent.
    progress : told of every batch of maps.

    Returns
    -------
    sky : (faces,) float32, in [0, 1].

    Notes
    -----
    Holds exactly: a convex body gets (1 + n_z) / 2. Leaves out: light that bounces.
    """
    low, high = (end.astype(np.float64) for end in bounds(body.vertices))
    middle = ((low + high) / 2).astype(np.float32)
    pixel_mm = float((high - low).max()) / (map_pixels - 2)
    side = 2 * int(np.ceil(np.linalg.norm(high - low) / 2 / pixel_mm)) + 5
    axes = np.stack([_axes(towards, pixel_mm) for towards in sky_directions(directions)])
    lit = np.zeros(len(centres), np.float32)
    possible = np.zeros(len(centres), np.float32)
    blocks = chunks(len(centres), _BLOCK)
    for batch in chunks(directions, _BATCH):
        maps = depth_maps(body.vertices, body.faces, middle, axes[batch], side)

        def shine(block: slice, some: Floats = axes[batch], maps: Floats = maps) -> None:
            here = centres[block], normals[block], lit[block], possible[block]
            _add_light(some, middle, maps, side, pixel_mm, *here)

        for _ in in_threads(shine, blocks):
            pass
        progress("sky light", min(batch.stop, directions), directions)
    # What no direction lights faces down within a degree or so, and has next to no sky to lose.
    share = np.where(possible > 0, lit / np.where(possible > 0, possible, 1), np.float32(1))
    return np.asarray(share * (1.0 + normals[:, 2]) / 2, dtype=np.float32)


def _axes(towards: NDArray[np.float64], pixel_mm: float) -> Floats:
    """(3, 3) float32, rows: two ways across a direction in pixels per mm, the direction in mm."""
    helper = np.eye(3)[int(np.argmin(np.abs(towards)))]
    across = np.cross(helper, towards)
    across /= np.linalg.norm(across)
    axes = np.stack([across / pixel_mm, np.cross(towards, across) / pixel_mm, towards])
    return axes.astype(np.float32)


@compiled
def _add_light(
    axes: Floats,
    middle: Floats,
    maps: Floats,
    side: int,
    pixel_mm: float,
    centres: Floats,
    normals: Floats,
    lit: Floats,
    possible: Floats,
) -> None:
    """Add each direction's cosine to each face: what reaches it, and what could.

    A map is asked at its sample nearest to the face, so the face's plane is followed there.
    """
    zero, half, across = np.float32(0), np.float32(0.5), np.float32(side)
    centre, last = np.float32(side * side // 2), np.float32(side * side - 1)
    bias, mm2 = np.float32(_BIAS_PIXELS * pixel_mm), np.float32(pixel_mm * pixel_mm)
    # Rows of one array: so it is plain that what is written is none of what is read.
    room = np.zeros((12, _TILE), np.float32)
    place, most, cosines, depth, light, all_light = room[6:]
    for start in range(0, len(centres), _TILE):
        count = min(_TILE, len(centres) - start)
        for i in range(count):
            for k in range(3):
                room[k, i] = centres[start + i, k] - middle[k]
                room[3 + k, i] = normals[start + i, k]
            light[i], all_light[i] = lit[start + i], possible[start + i]
        for m in range(len(axes)):
            rx, ry, rz = axes[m, 0, 0], axes[m, 0, 1], axes[m, 0, 2]
            dx, dy, dz = axes[m, 1, 0], axes[m, 1, 1], axes[m, 1, 2]
            tx, ty, tz = axes[m, 2, 0], axes[m, 2, 1], axes[m, 2, 2]
            for i in range(_TILE):
                x, y, z = room[0, i], room[1, i], room[2, i]
                nx, ny, nz = room[3, i], room[4, i], room[5, i]
                right, down = rx * x + ry * y + rz * z, dx * x + dy * y + dz * z
                column, row = np.floor(right + half), np.floor(down + half)
                place[i] = min(max(row * across + column + centre, zero), last)
                slope = (rx * nx + ry * ny + rz * nz) * (right - column)
                slope += (dx * nx + dy * ny + dz * nz) * (down - row)
                # Where it is 0 nothing is added, whatever the division gives.
                cosine = max(tx * nx + ty * ny + tz * nz, zero)
                most[i] = tx * x + ty * y + tz * z + bias + slope * mm2 / cosine
                cosines[i] = cosine
                all_light[i] += cosine
            for i in range(count):
                depth[i] = maps[m, np.uint32(place[i])]
            for i in range(_TILE):
                light[i] += cosines[i] if depth[i] <= most[i] else zero
        for i in range(count):
            lit[start + i], possible[start + i] = light[i], all_light[i]
