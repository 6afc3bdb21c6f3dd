"""How near a mesh comes to far eyes all around it: depth maps from many directions at once.

Most faces of a fine mesh are smaller than the gap between two samples. A loop without a branch,
which the processor takes many faces at a time through, works out for each what it shows at four
samples next to each other; only what shows there, and larger faces, are then looked at singly.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.shape.compiled import compiled
from preview.shape.threads import chunks, cores, in_threads

# Below any depth, and finite: times 0 it must stay a number.
NOTHING = -1e30

# Maps that a thread draws in one pass over the faces, at most.
_TOGETHER = 16
# Faces of a block, whose numbers stay in the processor's cache while all maps are drawn.
_BLOCK = 512
_ROWS = 25
# How far outside a triangle, in shares of its height, a sample still counts: no gap at seams.
_SEAM = 1e-4

Floats = NDArray[np.float32]
Ints = NDArray[np.int32]


def depth_maps(vertices: Floats, faces: Ints, middle: Floats, axes: Floats, side: int) -> Floats:
    """The surface nearest to an eye at infinity, at each sample of a square, for several eyes.

    Parameters
    ----------
    vertices : (vertices, 3) float32, mm.
    faces : (faces, 3) int32; drawn whichever way they turn.
    middle : (3,) float32, mm, the point that stands on the middle sample of each map.
    axes : (maps, 3, 3) float32, rows: right and down in samples per mm, towards the eye in mm.
    side : samples in a row and a column, odd; every vertex must lie two samples inside.

    Returns
    -------
    depth : (maps, side²) float32, row by row, mm from the middle towards the eye; `NOTHING` where
        there is nothing.
    """
    depth = np.full((len(axes), side * side), NOTHING, np.float32)

    def draw(some: slice) -> None:
        _draw(vertices, faces, middle, axes[some], side, depth[some])

    together = min(_TOGETHER, -(-len(axes) // cores()))
    for _ in in_threads(draw, chunks(len(axes), together)):
        pass
    return depth


@compiled
def _draw(
    vertices: Floats, faces: Ints, middle: Floats, axes: Floats, side: int, depth: Floats
) -> None:
    """Draw all faces into some maps; parameters as for `depth_maps`."""
    zero, one, seam = np.float32(0), np.float32(1), np.float32(-_SEAM)
    nothing, across, centre = np.float32(NOTHING), np.float32(side), np.float32(side * side // 2)
    # Rows of one array: so it is plain that what is written is none of what is read.
    room = np.zeros((_ROWS, _BLOCK), np.float32)
    place, wide, tall = room[9], room[10], room[11]
    here, right, below, aslant = room[12], room[13], room[14], room[15]
    first_b, right_b, down_b = room[16], room[17], room[18]
    first_c, right_c, down_c = room[19], room[20], room[21]
    near_a, near_b, near_c = room[22], room[23], room[24]
    listed = np.empty(_BLOCK + 1, np.int32)
    for start in range(0, len(faces), _BLOCK):
        count = min(_BLOCK, len(faces) - start)
        for i in range(count):
            for k in range(3):
                vertex = faces[start + i, k]
                for x in range(3):
                    room[3 * k + x, i] = vertices[vertex, x] - middle[x]
        for m in range(len(axes)):
            rx, ry, rz = axes[m, 0, 0], axes[m, 0, 1], axes[m, 0, 2]
            dx, dy, dz = axes[m, 1, 0], axes[m, 1, 1], axes[m, 1, 2]
            tx, ty, tz = axes[m, 2, 0], axes[m, 2, 1], axes[m, 2, 2]
            for i in range(_BLOCK):
                x, y, z = room[0, i], room[1, i], room[2, i]
                ax, ay = rx * x + ry * y + rz * z, dx * x + dy * y + dz * z
                az = tx * x + ty * y + tz * z
                x, y, z = room[3, i], room[4, i], room[5, i]
                bx, by = rx * x + ry * y + rz * z, dx * x + dy * y + dz * z
                bz = tx * x + ty * y + tz * z - az
                x, y, z = room[6, i], room[7, i], room[8, i]
                cx, cy = rx * x + ry * y + rz * z, dx * x + dy * y + dz * z
                cz = tx * x + ty * y + tz * z - az

                # The first sample in the face's bounds, and how many more there are.
                left, top = np.ceil(min(ax, bx, cx)), np.ceil(min(ay, by, cy))
                more, further = np.floor(max(ax, bx, cx)) - left, np.floor(max(ay, by, cy)) - top
                ax, ay, bx, by, cx, cy = (
                    ax - left,
                    ay - top,
                    bx - left,
                    by - top,
                    cx - left,
                    cy - top,
                )

                # Weights of corners b and c there, and how they change along a row and a column.
                b, c = cx * ay - cy * ax, ax * by - ay * bx
                scale = one / (bx * cy - by * cx + b + c)
                b, b_right, b_down = b * scale, (cy - ay) * scale, (ax - cx) * scale
                c, c_right, c_down = c * scale, (ay - by) * scale, (bx - ax) * scale
                b1, c1, b2, c2 = b + b_right, c + c_right, b + b_down, c + c_down
                b3, c3 = b1 + b_down, c1 + c_down
                at, at1 = min(b, c, one - b - c) >= seam, min(b1, c1, one - b1 - c1) >= seam
                at2, at3 = min(b2, c2, one - b2 - c2) >= seam, min(b3, c3, one - b3 - c3) >= seam
                here[i] = az + b * bz + c * cz if at else nothing
                right[i] = az + b1 * bz + c1 * cz if at1 else nothing
                below[i] = az + b2 * bz + c2 * cz if at2 else nothing
                aslant[i] = az + b3 * bz + c3 * cz if at3 else nothing
                large = (max(more, further) > one) & (min(more, further) >= zero)
                large &= abs(scale) < -nothing
                shows = large | at | at1 | at2 | at3
                place[i] = top * across + left + centre if shows else -one
                wide[i], tall[i] = more, further
                first_b[i], right_b[i], down_b[i] = b, b_right, b_down
                first_c[i], right_c[i], down_c[i] = c, c_right, c_down
                near_a[i], near_b[i], near_c[i] = az, bz, cz

            # Which faces show the processor cannot foresee: so nothing branches here.
            some = 0
            for i in range(count):
                listed[some] = i
                some += place[i] >= zero
            for j in range(some):
                i = listed[j]
                sample = np.uint32(place[i])
                if max(wide[i], tall[i]) <= one:
                    depth[m, sample] = max(depth[m, sample], here[i])
                    depth[m, sample + 1] = max(depth[m, sample + 1], right[i])
                    depth[m, sample + side] = max(depth[m, sample + side], below[i])
                    depth[m, sample + side + 1] = max(depth[m, sample + side + 1], aslant[i])
                    continue
                for row in range(np.int32(tall[i]) + 1):
                    b = first_b[i] + np.float32(row) * down_b[i]
                    c = first_c[i] + np.float32(row) * down_c[i]
                    # A needle crosses few of the samples between its bounds: where it begins and
                    # ends in this row, as its three weights fall below the seam's.
                    first, last = zero, wide[i]
                    for weight, slope in (
                        (b, right_b[i]),
                        (c, right_c[i]),
                        (one - b - c, -right_b[i] - right_c[i]),
                    ):
                        if slope > zero:
                            first = max(first, (seam - weight) / slope)
                        elif slope < zero:
                            last = min(last, (seam - weight) / slope)
                        elif weight < seam:
                            last = -one
                    # Rounding may be off by one; the weights themselves decide.
                    begin = max(int(min(first, wide[i])) - 1, 0)
                    end = min(int(max(last, -one)) + 1, int(wide[i]))
                    for column in range(begin, end + 1):
                        of_b = b + np.float32(column) * right_b[i]
                        of_c = c + np.float32(column) * right_c[i]
                        at = min(of_b, of_c, one - of_b - of_c) >= seam
                        nearness = near_a[i] + of_b * near_b[i] + of_c * near_c[i]
                        was = depth[m, sample + column]
                        depth[m, sample + column] = nearness if at & (nearness > was) else was
                    sample += side
