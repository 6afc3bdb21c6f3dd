"""The surface around any place, as sums over a sparse grid: size, place, facing."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from preview.shape.threads import chunks, in_threads
from preview.shape.triangles import longest_edge

_MOST_PARTS = 96
_BATCH = 500_000
_BLOCK = 1 << 15
# One cell is 0.9 of the weight's standard deviation: two passes of 1-2-1 spread by one cell,
# sorting points into cells and reading between cells add 1/12 and 1/6 of a cell squared.
_CELL_PER_WIDTH = 0.9
_PASSES = 2

Floats = NDArray[np.float32]


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
    width : standard deviation of the weight, mm, > 0.
    """

    def __init__(
        self,
        vertices: Floats,
        faces: NDArray[np.int32],
        normals: Floats,
        sizes: Floats,
        width: float,
    ) -> None:
        self.width = width
        self._cell = width * _CELL_PER_WIDTH
        self._low = vertices.min(axis=0) - np.float32(3 * self._cell)
        extent = np.ceil((vertices.max(axis=0) - self._low) / self._cell).astype(np.int64) + 4
        self._stride = np.array([1, extent[0], extent[0] * extent[1]], np.int64)
        parts = [
            _sums(self._keys(places), places - self._low, size, facing)
            for places, size, facing in _samples(vertices, faces, normals, sizes, self._cell)
        ]
        self._keys_held, sums = _merged(parts)
        self._spread(sums)

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
        # Neighbours in space read the same cells, so they go together.
        order = np.argsort(self._number(self._base(places)), kind="stable")

        def measure(block: slice) -> None:
            some = order[block]
            ahead[some] = self._ahead_of(places[some], facing[some])

        for _ in in_threads(measure, chunks(len(places), _BLOCK)):
            pass
        return ahead

    def _ahead_of(self, places: Floats, facing: Floats) -> Floats:
        """`ahead` for one block of places that lie close together."""
        near = self._near(places)
        weight = near[:, 0] + np.einsum("px,px->p", near[:, 4:7], facing)
        place = near[:, 1:4] + np.einsum("pxy,py->px", near[:, 7:].reshape(-1, 3, 3), facing)
        ahead = np.einsum("px,px->p", place, facing)
        ahead -= weight * np.einsum("px,px->p", places - self._low, facing)
        return np.asarray(ahead / np.where(weight > 0, weight, np.inf), dtype=np.float32)

    def _base(self, places: Floats) -> NDArray[np.int64]:
        """The lowest of the eight cells whose middles lie around each place."""
        where = (places - self._low) / np.float32(self._cell) - np.float32(0.5)
        return np.asarray(where.astype(np.int64))

    def _keys(self, points: Floats) -> NDArray[np.int64]:
        """The number of each point's cell."""
        index = ((points - self._low) / np.float32(self._cell)).astype(np.int64)
        return self._number(index)

    def _number(self, index: NDArray[np.int64]) -> NDArray[np.int64]:
        """One number for each cell, from its three."""
        _, across, up = self._stride
        number: NDArray[np.int64] = index[:, 0] + index[:, 1] * across
        number += index[:, 2] * up
        return number

    def _spread(self, sums: Floats) -> None:
        """Let each cell's sums flow into the cells around it."""
        cells = self._keys_held
        for stride in self._stride:
            # Three ascending runs: a stable sort merges them.
            three = np.sort(np.concatenate([cells - stride, cells, cells + stride]), kind="stable")
            cells = three[np.append(True, three[1:] != three[:-1])]
        self._cells = cells
        field = np.zeros((len(self._cells) + 1, 16), np.float32)
        field[np.searchsorted(self._cells, self._keys_held)] = sums
        for stride in self._stride:
            before, after = self._find(self._cells - stride), self._find(self._cells + stride)
            for _ in range(_PASSES):
                beside = field[before]
                beside += field[after]
                beside *= np.float32(0.25)
                field[:-1] *= np.float32(0.5)
                field[:-1] += beside
        self._field = field

    def _find(self, keys: NDArray[np.int64]) -> NDArray[np.int64]:
        """The row of each cell; the last row, which is all 0, for cells that do not exist."""
        row = np.searchsorted(self._cells, keys)
        row[row == len(self._cells)] = 0
        return np.where(self._cells[row] == keys, row, len(self._cells))

    def _near(self, places: Floats) -> Floats:
        """The sums around each place, read between the eight cells nearest to it."""
        base = self._base(places)
        share = (places - self._low) / np.float32(self._cell) - np.float32(0.5)
        share -= base
        cells, of_place = np.unique(self._number(base), return_inverse=True)
        near = np.zeros((len(places), 16), np.float32)
        x, y, z = ((1 - part, part) for part in np.ascontiguousarray(share.T))
        for i, j, k in np.ndindex(2, 2, 2):
            row = self._find(cells + np.dot((i, j, k), self._stride))
            beside = self._field[row[of_place]]
            beside *= (x[i] * y[j] * z[k])[:, None]
            near += beside
        return near


def _sums(
    keys: NDArray[np.int64], places: Floats, sizes: Floats, facing: Floats
) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """The cells that hold some of the points, and the 16 sums of each."""
    cells, of_point = np.unique(keys, return_inverse=True)
    sums = np.empty((len(cells), 16))
    sized = sizes[:, None] * places
    columns = [sizes, *sized.T, *(sizes[:, None] * facing).T]
    columns += [sized[:, x] * facing[:, y] for x in range(3) for y in range(3)]
    for k, column in enumerate(columns):
        sums[:, k] = np.bincount(of_point, column, len(cells))
    return cells, sums


def _merged(
    parts: list[tuple[NDArray[np.int64], NDArray[np.float64]]],
) -> tuple[NDArray[np.int64], Floats]:
    """The sums of several batches added up, cell by cell."""
    cells, row = np.unique(np.concatenate([cells for cells, _ in parts]), return_inverse=True)
    total = np.zeros((len(cells), 16))
    start = 0
    for some, sums in parts:
        total[row[start : start + len(some)]] += sums
        start += len(some)
    return cells, total.astype(np.float32)


def _samples(
    vertices: Floats, faces: NDArray[np.int32], normals: Floats, sizes: Floats, gap: float
) -> Iterator[tuple[Floats, Floats, Floats]]:
    """Places on the faces no further apart than about `gap`, the size each stands for, facing."""
    parts = np.ceil(longest_edge(vertices, faces) / gap).astype(np.int64)
    parts = np.clip(parts, 1, _MOST_PARTS)
    for n in np.unique(parts):
        weights = _middles(int(n))
        same = np.flatnonzero(parts == n)
        step = max(1, _BATCH // len(weights))
        for start in range(0, len(same), step):
            some = same[start : start + step]
            corners = vertices[faces[some]]
            yield (
                np.matmul(weights, corners).reshape(-1, 3),
                np.repeat(sizes[some] / np.float32(len(weights)), len(weights)),
                np.repeat(normals[some], len(weights), axis=0),
            )


def _middles(n: int) -> Floats:
    """Barycentric weights of the middles of the n² equal triangles within a triangle."""
    i, j = (k.ravel() for k in np.meshgrid(np.arange(n), np.arange(n)))
    upright = np.stack([i + 1 / 3, j + 1 / 3], axis=1)[i + j < n]
    turned = np.stack([i + 2 / 3, j + 2 / 3], axis=1)[i + j < n - 1]
    two = np.concatenate([upright, turned]) / n
    return np.column_stack([1 - two.sum(axis=1), two]).astype(np.float32)
