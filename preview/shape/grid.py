"""Triangles laid on a grid of samples, each sample keeping the nearest: the loops of a depth map.

What is drawn stands in an order in which neighbours come together, so that what is being written
stays in the processor's cache.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.shape.compiled import compiled

# How far outside a triangle, in shares of its height, a sample still counts: no gap at seams.
_SEAM = 1e-7
# Samples of a tile, across and down, as a power of two.
_TILE_BITS = 3
# Room for twice the columns of a grid.
_CELL_BITS = 16

Floats = NDArray[np.float32]
Doubles = NDArray[np.float64]
Ints = NDArray[np.int32]


def placed_on_grid(
    vertices: Floats,
    target: Doubles,
    axes: Doubles,
    samples_per_mm: float,
    middle: tuple[float, float],
    beyond: float,
    distance_mm: float = np.inf,
) -> Floats:
    """(vertices, 3) float32: column and row of each vertex, and how near it is.

    Nearness grows towards the eye, is above 0 before it, and is even along a drawn line; from an
    eye at infinity it is mm before the target, and `beyond`.

    Parameters
    ----------
    vertices : (vertices, 3) float32, mm.
    target : (3,) float64, mm, the point that stands in the middle.
    axes : (3, 3) float64, unit vectors in rows: right, up, towards the eye.
    samples_per_mm : at the target.
    middle : column and row of the target; samples lie at whole numbers.
    beyond : mm, > 0, further than any vertex lies behind the target.
    distance_mm : from eye to target; inf where rays are parallel.
    """
    placed = np.empty((len(vertices), 3), np.float32)
    _place(vertices, target, axes, samples_per_mm, 1.0 / distance_mm, beyond, *middle, placed)
    return placed


def drawn_on_grid(placed: Floats, faces: Ints, width: int, height: int) -> tuple[Floats, Ints]:
    """The nearest surface at each sample.

    Parameters
    ----------
    placed : (vertices, 3) float32, as from `placed_on_grid`.
    faces : (faces, 3) int32.

    Returns
    -------
    nearest : (height * width,) float32, how near it is; 0 where there is nothing.
    number : (height * width,) int32, the face; -1 where there is nothing.
    """
    number = np.full(width * height, -1, np.int32)
    nearest = np.zeros(len(number), np.float32)
    cell = np.empty(len(placed), np.int32)
    _find_cells(placed, width, height, cell)
    reaching, turned = np.empty(len(faces) + 1, np.int32), np.empty(len(faces) + 1, np.int32)
    reaching = reaching[: _reach(cell, faces, reaching)]
    farthest = np.zeros(((height >> _TILE_BITS) + 1, (width >> _TILE_BITS) + 1), np.float32)
    # Faces that turn away come last: nearly all lie behind what is drawn by then.
    left = _draw(placed, faces, reaching, 1.0, farthest, width, height, nearest, number, turned)
    _find_farthest(nearest.reshape(height, width), farthest)
    away = turned[:left]
    _draw(placed, faces, away, -1.0, farthest, width, height, nearest, number, reaching)
    return nearest, number


@compiled
def _place(
    vertices: Floats,
    target: Doubles,
    axes: Doubles,
    scale: float,
    spread: float,
    beyond: float,
    middle_column: float,
    middle_row: float,
    placed: Floats,
) -> None:
    """Fill in where each vertex appears.

    spread : how much rays diverge: 1 / distance, 0 when they are parallel.
    beyond : further than any vertex lies behind the target, mm.
    """
    # Numbers of their own: what is written below could be any array's, for all the compiler knows.
    ox, oy, oz = target[0], target[1], target[2]
    rx, ry, rz = axes[0, 0] * scale, axes[0, 1] * scale, axes[0, 2] * scale
    ux, uy, uz = axes[1, 0] * scale, axes[1, 1] * scale, axes[1, 2] * scale
    tx, ty, tz = axes[2, 0], axes[2, 1], axes[2, 2]
    for i in range(len(vertices)):
        x, y, z = vertices[i, 0] - ox, vertices[i, 1] - oy, vertices[i, 2] - oz
        across = rx * x + ry * y + rz * z
        up = ux * x + uy * y + uz * z
        towards = tx * x + ty * y + tz * z
        if spread > 0.0:
            left = 1.0 - towards * spread
            # Behind the eye nothing is near.
            grown = 1.0 / left if left > 0.0 else 0.0
            placed[i, 0] = middle_column + across * grown
            placed[i, 1] = middle_row - up * grown
            placed[i, 2] = grown
        else:
            placed[i, 0] = middle_column + across
            placed[i, 1] = middle_row - up
            placed[i, 2] = beyond + towards


@compiled
def _find_cells(placed: Floats, width: int, height: int, cell: Ints) -> None:
    """Fill in between which samples each vertex lies: the column in the low bits, the row above.

    Even numbers stand between two samples, odd ones on a sample; all beyond an edge are one.
    """
    right, bottom = np.float32(width - 0.5), np.float32(height - 0.5)
    for i in range(len(placed)):
        x = min(max(placed[i, 0], np.float32(-0.5)), right)
        y = min(max(placed[i, 1], np.float32(-0.5)), bottom)
        column, row = int(np.floor(x)) + int(np.ceil(x)) + 1, int(np.floor(y)) + int(np.ceil(y)) + 1
        cell[i] = row << _CELL_BITS | column


@compiled
def _reach(cell: Ints, faces: Ints, reaching: Ints) -> int:
    """List the faces in whose bounds a sample lies; gives how many there are.

    Most reach none, and which ones the processor cannot foresee: so nothing branches here.

    reaching : (faces + 1,), of which so many are filled.
    """
    count, on_sample, columns = 0, 1 << _CELL_BITS | 1, (1 << _CELL_BITS) - 1
    for f in range(len(faces)):
        a, b, c = cell[faces[f, 0]], cell[faces[f, 1]], cell[faces[f, 2]]
        spans = (a ^ b) | (a ^ c) | (a & on_sample)
        reaching[count] = f
        count += ((spans & columns) != 0) & ((spans >> _CELL_BITS) != 0)
    return count


@compiled
def _find_farthest(nearest: Floats, farthest: Floats) -> None:
    """Fill in how near the farthest of each tile of samples is."""
    size = 1 << _TILE_BITS
    height, width = nearest.shape
    for row in range(farthest.shape[0]):
        for column in range(farthest.shape[1]):
            least = np.float32(np.inf)
            for y in range(row * size, min((row + 1) * size, height)):
                for x in range(column * size, min((column + 1) * size, width)):
                    least = min(least, nearest[y, x])
            farthest[row, column] = least


@compiled
def _draw(
    placed: Floats,
    faces: Ints,
    some: Ints,
    side: float,
    farthest: Floats,
    width: int,
    height: int,
    nearest: Floats,
    number: Ints,
    turned: Ints,
) -> int:
    """Fill in the nearest of some faces at each sample, and how near it is.

    some : faces in whose bounds a sample lies.
    side : 1 draws those that turn to the eye, -1 those that turn away.
    farthest : of what each tile shows so far; asked by faces that turn away.
    turned : filled with those of the other side, whose number is given back.
    """
    left, nothing = 0, np.float32(0.0)
    for index in range(len(some)):
        # Unsigned numbers need no look whether they count from the end.
        f = np.uint32(some[index])
        a, b, c = np.uint32(faces[f, 0]), np.uint32(faces[f, 1]), np.uint32(faces[f, 2])
        near_a, near_b, near_c = placed[a, 2], placed[b, 2], placed[c, 2]
        ax, bx, cx = placed[a, 0], placed[b, 0], placed[c, 0]
        ay, by, cy = placed[a, 1], placed[b, 1], placed[c, 1]
        x1, y1 = bx - np.float64(ax), by - np.float64(ay)
        x2, y2 = cx - np.float64(ax), cy - np.float64(ay)
        area = x1 * y2 - y1 * x2
        before = min(near_a, near_b, near_c) > nothing
        if not (before & (area * side < 0.0)):
            turned[left] = f
            left += before & (area * side > 0.0)
            continue
        first = max(int(np.ceil(min(ax, bx, cx))), 0)
        last = min(int(np.floor(max(ax, bx, cx))), width - 1)
        top = max(int(np.ceil(min(ay, by, cy))), 0)
        bottom = min(int(np.floor(max(ay, by, cy))), height - 1)
        if side < 0.0:
            most = max(near_a, near_b, near_c)
            behind = True
            for row in range(top >> _TILE_BITS, (bottom >> _TILE_BITS) + 1):
                for column in range(first >> _TILE_BITS, (last >> _TILE_BITS) + 1):
                    behind = behind and farthest[row, column] >= most
            if behind:
                continue

        # Weights of corners b and c, and nearness, change evenly along columns and rows.
        scale = 1.0 / area
        b_right, b_down, c_right, c_down = y2 * scale, -x2 * scale, -y1 * scale, x1 * scale
        near = np.float64(near_a)
        right = b_right * (near_b - near) + c_right * (near_c - near)
        down = b_down * (near_b - near) + c_down * (near_c - near)
        dx = first - np.float64(ax)
        for row in range(top, bottom + 1):
            dy = row - np.float64(ay)
            of_b = dx * b_right + dy * b_down
            of_c = dx * c_right + dy * c_down
            at = near + dx * right + dy * down
            begin = row * width
            for sample in range(np.uint64(begin + first), np.uint64(begin + last + 1)):
                inside = min(of_b, of_c, 1.0 - of_b - of_c) >= -_SEAM
                here = np.float32(at)
                if inside and here > nearest[sample]:
                    nearest[sample], number[sample] = here, f
                of_b += b_right
                of_c += c_right
                at += right
    return left
