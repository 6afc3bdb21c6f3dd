"""The surface around any place, as sums over a sparse grid: size, place, facing."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from preview.shape.bounds import bounds
from preview.shape.compiled import compiled
from preview.shape.threads import chunks, in_threads
from preview.shape.triangles import longest_edge

_MOST_PARTS = 96
_BLOCK = 1 << 15
# One cell is 0.9 of the weight's standard deviation: two passes of 1-2-1 spread by one cell,
# sorting points into cells and reading between cells add 1/12 and 1/6 of a cell squared.
_CELL_PER_WIDTH = 0.9
_PASSES = 2
_MOST_CELLS = 150_000
# Cells found of late that are remembered: neighbours ask for the same ones again and again.
_RECENT = 256

Floats = NDArray[np.float32]
Keys = NDArray[np.int64]


class SurfaceMoments:
    """Bell-weighted sums of the surface near a place.

    Each cell holds the sums, over the surface in it, of size, size * place, size * facing and
    size * place x facing; 1-2-1 passes along the axes spread them into a bell. Places keep their
    full precision, so that grid effects touch the weights only.

    Parameters
    ----------
    vertices : (vertices, 3) float32, mm.
    faces : (faces, 3) int32.
    normals : (faces, 3) float32.
    sizes : (faces,) float32, mm².
    width : standard deviation of the weight, mm, > 0; taken wider where the surface would fill more
        than about 150,000 cells, which no figure up to 60 mm does at 0.3 mm.
    """

    def __init__(
        self,
        vertices: Floats,
        faces: NDArray[np.int32],
        normals: Floats,
        sizes: Floats,
        width: float,
    ) -> None:
        # The cells grow with the surface; past a bound the weight widens instead.
        least = math.sqrt(float(sizes.sum(dtype=np.float64)) / _MOST_CELLS) / _CELL_PER_WIDTH
        self.width = max(width, least)
        self._cell = self.width * _CELL_PER_WIDTH
        low, high = bounds(vertices)
        self._low = low - np.float32(3 * self._cell)
        extent = np.ceil((high - self._low) / self._cell).astype(np.int64) + 4
        self._stride = np.array([1, extent[0], extent[0] * extent[1]], np.int64)
        self._sum_up(vertices, faces, normals, sizes)

    def ahead(self, places: Floats, facing: Floats) -> Floats:
        """How far before each place, along its facing, the surface around it lies on average.

        Parameters
        ----------
        places : (places, 3) float32, mm, on the surface.
        facing : (places, 3) float32, unit normals. Surface facing the same way counts fully,
            at right angles half, the opposite way not at all.

        Returns
        -------
        ahead : (places,) float32, mm; 0 where there is no surface.
        """
        ahead = np.empty(len(places), np.float32)

        def measure(block: slice) -> None:
            _ahead(
                places[block],
                facing[block],
                self._low,
                self._cell,
                self._stride,
                self._cells,
                self._field,
                ahead[block],
            )

        for _ in in_threads(measure, chunks(len(places), _BLOCK)):
            pass
        return ahead

    def _sum_up(
        self, vertices: Floats, faces: NDArray[np.int32], normals: Floats, sizes: Floats
    ) -> None:
        """Sum up the surface in each cell, from points on the faces about a cell apart."""
        parts = np.ceil(longest_edge(vertices, faces) / np.float32(self._cell))
        parts = np.clip(parts, 1, _MOST_PARTS).astype(np.int32)
        points = int((parts.astype(np.int64) ** 2).sum())
        places = np.empty((points, 3))
        keys, fresh = np.empty(points, np.int64), np.empty(points, np.int64)
        grid = self._low, self._cell, self._stride
        count = _place_points(vertices, faces, parts, *grid, places, keys, fresh)
        held = np.unique(fresh[:count])
        sums = np.zeros((len(held), 16))
        _sums(parts, places, keys, normals, sizes, held, sums)
        self._spread(held, sums.astype(np.float32))

    def _spread(self, held: Keys, sums: Floats) -> None:
        """Let each cell's sums flow into the cells around it."""
        cells = held
        for stride in self._stride:
            # Three ascending runs: a stable sort merges them.
            three = np.sort(np.concatenate([cells - stride, cells, cells + stride]), kind="stable")
            cells = three[np.append(True, three[1:] != three[:-1])]
        self._cells = cells
        field = np.zeros((len(cells) + 1, 16), np.float32)
        field[np.searchsorted(cells, held)] = sums
        spread = np.zeros_like(field)
        for stride in self._stride:
            for _ in range(_PASSES):
                _flow(cells, stride, field, spread)
                field, spread = spread, field
        self._field = field


@compiled
def _place_points(
    vertices: Floats,
    faces: NDArray[np.int32],
    parts: NDArray[np.int32],
    low: Floats,
    cell: float,
    stride: Keys,
    places: NDArray[np.float64],
    keys: Keys,
    fresh: Keys,
) -> int:
    """Fill in the middles of the equal parts of each face, from `low`, and the cell of each.

    fresh : filled with the cells, each once or a few times; gives how many stand there.
    """
    point = count = 0
    recent = np.full(_RECENT, -1, np.int64)
    for f in range(len(faces)):
        a, b, c = faces[f, 0], faces[f, 1], faces[f, 2]
        rows = parts[f]
        for part in range(rows * rows):
            # Row by row, upright and hanging parts by turns.
            row = int(np.sqrt(part))
            along = part - row * row
            u = (along // 2 + (1.0 + along % 2) / 3.0) / rows
            w = 1.0 - (row + (2.0 - along % 2) / 3.0) / rows
            v = 1.0 - u - w
            keys[point] = 0
            for k in range(3):
                place = u * vertices[a, k] + v * vertices[b, k] + w * vertices[c, k] - low[k]
                keys[point] += int(place / cell) * stride[k]
                places[point, k] = place
            if recent[keys[point] % _RECENT] != keys[point]:
                recent[keys[point] % _RECENT] = fresh[count] = keys[point]
                count += 1
            point += 1
    return count


@compiled
def _sums(
    parts: NDArray[np.int32],
    places: NDArray[np.float64],
    keys: Keys,
    normals: Floats,
    sizes: Floats,
    held: Keys,
    sums: NDArray[np.float64],
) -> None:
    """Add up the surface in each of the cells held, from the points of each face in turn."""
    point = 0
    found = np.zeros(_RECENT, np.int64)
    for f in range(len(parts)):
        size = sizes[f] / np.float64(parts[f] * parts[f])
        for _ in range(parts[f] * parts[f]):
            at = found[keys[point] % _RECENT]
            if held[at] != keys[point]:
                at = int(np.searchsorted(held, keys[point]))
                found[keys[point] % _RECENT] = at
            sums[at, 0] += size
            for x in range(3):
                sums[at, 1 + x] += size * places[point, x]
                sums[at, 4 + x] += size * normals[f, x]
                for y in range(3):
                    sums[at, 7 + 3 * x + y] += size * places[point, x] * normals[f, y]
            point += 1


@compiled
def _flow(cells: Keys, stride: int, field: Floats, spread: Floats) -> None:
    """Fill in half of each cell's sums and a quarter of those of the two cells beside it.

    The last row is all 0, for cells that do not exist.
    """
    before, after, nothing = 0, 0, len(cells)
    half, quarter = np.float32(0.5), np.float32(0.25)
    for row in range(len(cells)):
        # The cells ascend, and so do those beside them.
        while cells[before] < cells[row] - stride:
            before += 1
        while after < nothing and cells[after] < cells[row] + stride:
            after += 1
        left = before if cells[before] == cells[row] - stride else nothing
        exists = after < nothing and cells[after] == cells[row] + stride
        right = after if exists else nothing
        for k in range(16):
            beside = quarter * (field[left, k] + field[right, k])
            spread[row, k] = half * field[row, k] + beside


@compiled
def _ahead(
    places: Floats,
    facing: Floats,
    low: Floats,
    cell: float,
    stride: Keys,
    cells: Keys,
    field: Floats,
    ahead: Floats,
) -> None:
    """Fill in `ahead`, reading the sums between the eight cells nearest to each place."""
    share, base = np.empty(3), np.empty(3, np.int64)
    near = np.empty(16)
    # Where the cells lie around those asked for of late.
    recent, rows_of = np.full(_RECENT, -1, np.int64), np.zeros((_RECENT, 8), np.int64)
    for p in range(len(places)):
        key = 0
        for k in range(3):
            where = (places[p, k] - low[k]) / cell - 0.5
            base[k] = int(where)
            share[k] = where - base[k]
            key += base[k] * stride[k]
        rows = rows_of[key % _RECENT]
        if recent[key % _RECENT] != key:
            recent[key % _RECENT] = key
            for side in range(4):
                beside = key + (side & 1) * stride[1] + (side >> 1) * stride[2]
                row = np.searchsorted(cells, beside)
                # The last row is all 0, for cells that do not exist.
                exists = row < len(cells) and cells[row] == beside
                rows[2 * side] = row if exists else len(cells)
                # The cell to the right is the next that exists, if it does.
                row += exists
                exists = row < len(cells) and cells[row] == beside + stride[0]
                rows[2 * side + 1] = row if exists else len(cells)
        near[:] = 0.0
        for corner in range(8):
            weight = share[0] if corner & 1 else 1.0 - share[0]
            weight *= share[1] if corner >> 1 & 1 else 1.0 - share[1]
            weight *= share[2] if corner >> 2 else 1.0 - share[2]
            sums = field[rows[corner]]
            for k in range(len(sums)):
                near[k] += weight * sums[k]
        total, far = near[0], 0.0
        for x in range(3):
            total += near[4 + x] * facing[p, x]
        for x in range(3):
            place = near[1 + x]
            for y in range(3):
                place += near[7 + 3 * x + y] * facing[p, y]
            far += facing[p, x] * (place - total * (places[p, x] - np.float64(low[x])))
        ahead[p] = far / total if total > 0.0 else 0.0
