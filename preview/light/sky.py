"""How much of the sky each face sees: depth maps from directions that all faces share.

A map from each direction tells how near the first surface comes. A face sees the sky in that
direction when nothing is nearer than the face itself. One map serves every face.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from preview.light.directions import sky_directions
from preview.progress import Progress, silent
from preview.shape.bounds import bounds
from preview.shape.compiled import compiled
from preview.shape.grid import drawn_on_grid, placed_on_grid
from preview.shape.threads import chunks, in_threads

DIRECTIONS = 128
MAP_PIXELS = 384
_BIAS_PIXELS = 1.5
_BLOCK = 1 << 14
_BATCH = 16
# Below any figure, and finite: times a cosine of 0 it must stay a number.
_NOTHING = -1e30

Floats = NDArray[np.float32]


class Body(Protocol):
    """A mesh: vertices, (vertices, 3) float32 in mm, and faces, (faces, 3) int32."""

    @property
    def vertices(self) -> Floats: ...

    @property
    def faces(self) -> NDArray[np.int32]: ...


@dataclass(frozen=True, eq=False)
class DepthMap:
    """The surface nearest to a far light, on a grid across its direction.

    axes : (3, 3) float32, rows: across and up in pixels per mm, towards the light in mm.
    origin : (3,) float32, what axes @ point gives at the corner of pixel 0; 0 for the third.
    height : (rows * width,) float32, mm towards the light; far below where there is nothing.
    """

    axes: Floats
    origin: Floats
    width: int
    height: Floats


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
    # A pixel is left free on each side.
    low, high = (end.astype(np.float64) for end in bounds(body.vertices))
    pixel_mm = float((high - low).max()) / (map_pixels - 2)
    lit = np.zeros(len(centres), np.float32)
    possible = np.zeros(len(centres), np.float32)
    towards = list(sky_directions(directions))
    blocks = chunks(len(centres), _BLOCK)
    for batch in chunks(directions, _BATCH):
        maps = list(in_threads(lambda d: depth_map(body, (low, high), d, pixel_mm), towards[batch]))

        def shine(block: slice, maps: list[DepthMap] = maps) -> None:
            here = centres[block], normals[block], lit[block], possible[block]
            for one in maps:
                _add_light(one.axes, one.origin, one.width, one.height, pixel_mm, *here)

        for _ in in_threads(shine, blocks):
            pass
        progress("sky light", min(batch.stop, directions), directions)
    # What no direction lights faces down within a degree or so, and has next to no sky to lose.
    share = np.where(possible > 0, lit / np.where(possible > 0, possible, 1), np.float32(1))
    return np.asarray(share * (1.0 + normals[:, 2]) / 2, dtype=np.float32)


def depth_map(
    body: Body,
    box: tuple[NDArray[np.float64], NDArray[np.float64]],
    towards: NDArray[np.float64],
    pixel_mm: float,
) -> DepthMap:
    """What a far light in direction `towards` sees of a body.

    Parameters
    ----------
    box : (3,) float64 each, mm, the body's least and greatest coordinates.
    towards : (3,) float64, unit vector to the light.
    pixel_mm : size of a pixel of the map.
    """
    vertices = np.ascontiguousarray(body.vertices, dtype=np.float32)
    middle, half = (box[0] + box[1]) / 2, (box[1] - box[0]) / 2
    axes = np.stack([*_across(towards), towards])
    # The box around the body reaches so far from its middle along each axis.
    reach = np.einsum("ax,x->a", np.abs(axes), half)
    width, rows = (2 * int(np.ceil(n / pixel_mm)) + 3 for n in reach[:2])
    beyond = float(reach[2]) + 1.0
    at = (width - 1) / 2, (rows - 1) / 2
    # Rows of the map run up.
    upward = axes * np.array([[1.0], [-1.0], [1.0]])
    placed = placed_on_grid(vertices, middle, upward, 1.0 / pixel_mm, at, beyond)
    nearest, _ = drawn_on_grid(placed, body.faces, width, rows)
    centre = np.einsum("ax,x->a", axes, middle)
    height = nearest + np.float32(centre[2] - beyond)
    height[nearest <= 0] = _NOTHING
    axes[:2] /= pixel_mm
    origin = np.array([*(centre[:2] / pixel_mm - at - 0.5), 0.0])
    return DepthMap(axes.astype(np.float32), origin.astype(np.float32), width, height)


def _across(towards: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Two unit vectors at right angles to a direction and to each other."""
    helper = np.eye(3)[int(np.argmin(np.abs(towards)))]
    across = np.cross(helper, towards)
    across /= np.linalg.norm(across)
    return across, np.cross(towards, across)


@compiled
def _add_light(
    axes: Floats,
    origin: Floats,
    width: int,
    height: Floats,
    pixel_mm: float,
    centres: Floats,
    normals: Floats,
    lit: Floats,
    possible: Floats,
) -> None:
    """Add one direction's cosine to each face: what reaches it, and what could.

    The map is asked at the middle of its pixel, so the face's plane is followed there first;
    both sides of the comparison carry the cosine, which saves dividing by it.
    """
    bias = np.float32(_BIAS_PIXELS * pixel_mm)
    mm2 = np.float32(pixel_mm * pixel_mm)
    for f in range(len(centres)):
        nx, ny, nz = normals[f, 0], normals[f, 1], normals[f, 2]
        cosine = axes[2, 0] * nx + axes[2, 1] * ny + axes[2, 2] * nz
        if cosine <= 0:
            continue
        x, y, z = centres[f, 0], centres[f, 1], centres[f, 2]
        across = axes[0, 0] * x + axes[0, 1] * y + axes[0, 2] * z - origin[0]
        up = axes[1, 0] * x + axes[1, 1] * y + axes[1, 2] * z - origin[1]
        towards = axes[2, 0] * x + axes[2, 1] * y + axes[2, 2] * z
        column, row = int(across), int(up)
        nearest = height[min(max(row * width + column, 0), len(height) - 1)]
        slope = (axes[0, 0] * nx + axes[0, 1] * ny + axes[0, 2] * nz) * (
            across - np.float32(column) - np.float32(0.5)
        )
        slope += (axes[1, 0] * nx + axes[1, 1] * ny + axes[1, 2] * nz) * (
            up - np.float32(row) - np.float32(0.5)
        )
        possible[f] += cosine
        if (nearest - towards - bias) * cosine <= slope * mm2:
            lit[f] += cosine
