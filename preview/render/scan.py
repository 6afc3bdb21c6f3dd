"""The renderer that draws triangles on the processor: needs no graphics driver.

Each triangle is laid on the grid of samples, and each sample keeps the nearest. A sculpt's faces
stand in an order in which neighbours come together, so that what is being written stays in the
processor's cache.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.render.fine import finer, seen_of
from preview.render.seen import Drawn, Seen
from preview.render.view import View
from preview.shape.compiled import compiled

# How far outside a triangle, in shares of its height, a sample still counts: no gap at seams.
_SEAM = 1e-7

Floats = NDArray[np.float32]
Doubles = NDArray[np.float64]
Ints = NDArray[np.int32]


class ScanRenderer:
    """A sculpt prepared for drawing.

    Parameters
    ----------
    vertices : (vertices, 3) float, mm.
    faces : (faces, 3) int.

    Notes
    -----
    Leaves out: faces that reach behind the eye.
    """

    name = "scan"
    driver = ""

    def __init__(self, vertices: NDArray[np.floating], faces: NDArray[np.integer]) -> None:
        self._vertices: Floats = np.ascontiguousarray(vertices, dtype=np.float32)
        self._faces: Ints = np.ascontiguousarray(faces, dtype=np.int32)
        low, high = self._vertices.min(axis=0), self._vertices.max(axis=0)
        self._bounds: Floats = np.stack([low, high])

    def draw(self, view: View, samples: int = 1) -> Drawn:
        """The face at each of `samples` samples per pixel; samples is a square number."""
        fine = finer(view, samples)
        number = np.full(fine.width * fine.height, -1, np.int32)
        nearest = np.zeros(len(number), np.float32)
        beyond = self._beyond(view)
        placed = self._placed(fine, beyond)
        later = np.empty(len(self._faces), np.int32)
        _draw(placed, self._faces, fine.width, fine.height, nearest, number, later)
        _to_depth(nearest, 0.0 if view.orthographic else view.distance_mm, beyond)
        return Drawn(view, fine.width // view.width, number, nearest)

    def see(self, view: View, samples: int = 1) -> Seen:
        """What each of `samples` samples per pixel sees; samples is a square number."""
        return seen_of(self.draw(view, samples), self._vertices, self._faces)

    def _beyond(self, view: View) -> float:
        """Further than any vertex lies behind the view's target, mm."""
        reach = np.abs(self._bounds - np.asarray(view.target, np.float32)).max()
        return 2.0 * float(reach) + 1.0

    def _placed(self, view: View, beyond: float) -> Floats:
        """(vertices, 3) float32: column and row of each vertex, and how near it is.

        Nearness grows towards the eye, is above 0 before it, and is even along a drawn line.
        """
        placed = np.empty((len(self._vertices), 3), np.float32)
        _place(
            self._vertices,
            np.asarray(view.target, np.float64),
            np.stack(view.axes()),
            1.0 / view.mm_per_pixel,
            0.0 if view.orthographic else 1.0 / view.distance_mm,
            beyond,
            0.5 * view.width - 0.5,
            0.5 * view.height - 0.5,
            placed,
        )
        return placed


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
    for i in range(len(vertices)):
        x, y, z = vertices[i, 0] - target[0], vertices[i, 1] - target[1], vertices[i, 2] - target[2]
        across = axes[0, 0] * x + axes[0, 1] * y + axes[0, 2] * z
        up = axes[1, 0] * x + axes[1, 1] * y + axes[1, 2] * z
        towards = axes[2, 0] * x + axes[2, 1] * y + axes[2, 2] * z
        left = 1.0 - towards * spread
        if left <= 0.0:
            placed[i, 0] = placed[i, 1] = placed[i, 2] = 0.0
            continue
        placed[i, 0] = middle_column + across * scale / left
        placed[i, 1] = middle_row - up * scale / left
        placed[i, 2] = 1.0 / left if spread > 0.0 else beyond + towards


@compiled
def _draw(
    placed: Floats,
    faces: Ints,
    width: int,
    height: int,
    nearest: Floats,
    number: Ints,
    later: Ints,
) -> None:
    """Fill in the nearest face at each sample, and how near it is.

    Faces that turn away come last: nearly all lie behind what is drawn by then, and cost little.

    later : (faces,) room for the numbers of those faces.
    """
    turned = 0
    for turn in range(2):
        for index in range(len(faces) if turn == 0 else turned):
            f = index if turn == 0 else later[index]
            a, b, c = faces[f, 0], faces[f, 1], faces[f, 2]
            near_a, near_b, near_c = placed[a, 2], placed[b, 2], placed[c, 2]
            if min(near_a, near_b, near_c) <= 0:
                continue

            # Leave early when no sample lies within the triangle's bounds.
            ax, bx, cx = placed[a, 0], placed[b, 0], placed[c, 0]
            first = max(int(np.ceil(min(ax, bx, cx))), 0)
            last = min(int(np.floor(max(ax, bx, cx))), width - 1)
            if first > last:
                continue
            ay, by, cy = placed[a, 1], placed[b, 1], placed[c, 1]
            top = max(int(np.ceil(min(ay, by, cy))), 0)
            bottom = min(int(np.floor(max(ay, by, cy))), height - 1)
            if top > bottom:
                continue
            x1, y1 = bx - np.float64(ax), by - np.float64(ay)
            x2, y2 = cx - np.float64(ax), cy - np.float64(ay)
            area = x1 * y2 - y1 * x2
            if turn == 0 and area > 0.0:
                later[turned] = f
                turned += 1
                continue
            if area == 0.0:
                continue
            if turn == 1:
                most = max(near_a, near_b, near_c)
                behind = True
                for row in range(top, bottom + 1):
                    for sample in range(row * width + first, row * width + last + 1):
                        behind = behind and nearest[sample] >= most
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
                for sample in range(row * width + first, row * width + last + 1):
                    if of_b >= -_SEAM and of_c >= -_SEAM and of_b + of_c <= 1.0 + _SEAM:
                        here = np.float32(at)
                        if here > nearest[sample]:
                            nearest[sample], number[sample] = here, f
                    of_b += b_right
                    of_c += c_right
                    at += right


@compiled
def _to_depth(nearest: Floats, far: float, beyond: float) -> None:
    """Turn nearness into depth, mm."""
    for i in range(len(nearest)):
        if nearest[i] > 0.0:
            nearest[i] = far / nearest[i] if far > 0.0 else beyond - nearest[i]
