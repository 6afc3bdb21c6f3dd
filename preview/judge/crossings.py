"""How far the surfaces of different areas pass through each other: kit parts pushed together."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.shape.bounds import bounds

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_BLOCKS, _MOST_CELLS = 64, 512
# Cells in typical face sizes: first large ones, which each face fills few of, then small ones,
# which hold few faces each.
_GRAINS = (6.0, 1.5)


def crossing_lengths(
    sculpt: Sculpt, places: Floats
) -> tuple[NDArray[np.int32], NDArray[np.int32], Floats]:
    """The length of the lines in which exposed faces of different areas cut through each other.

    Looks only around the given places, such as those where a view shows two areas in contact.
    Faces that share a corner do not count: they meet at an edge. Surfaces that lie in one plane
    or merely touch have no line in common.

    Parameters
    ----------
    places : (places, 3) float64, mm; everything within 1/64 of the figure's extent is looked at.

    Returns
    -------
    low, high : (crossings,) int32, the two areas of each pair of faces that cross, low < high.
    length : (crossings,) float64, mm, of the piece of line that the two faces have in common.
    """
    faces = _faces_around(sculpt, places)
    corners = sculpt.corners[faces].astype(np.float64)
    first, second = _near_pairs(sculpt, faces, corners)
    length = _common_length(corners[first], corners[second])
    cut = length > 0.0
    a, b = sculpt.area[faces[first[cut]]], sculpt.area[faces[second[cut]]]
    return np.minimum(a, b), np.maximum(a, b), length[cut]


def _faces_around(sculpt: Sculpt, places: Floats) -> Ints:
    """The exposed faces near any place, and all that are larger than the grid used to find them."""
    from scipy import ndimage

    low, high = bounds(sculpt.vertices)
    block = max(float((high - low).max()) / _BLOCKS, 1e-9)
    marked = np.zeros((_BLOCKS + 2,) * 3, np.bool_)
    marked[tuple(_block_of(places, low, block).T)] = True
    marked = ndimage.binary_dilation(marked, np.ones((3, 3, 3), np.bool_))
    near = marked[tuple(_block_of(sculpt.vertices, low, block).T)]
    which = np.flatnonzero(sculpt.exposed)
    large = sculpt.mm2[which] > block * block
    return np.asarray(which[near[sculpt.faces[which]].any(axis=1) | large])


def _block_of(points: NDArray[np.floating], low: NDArray[np.float32], block: float) -> Ints:
    """(points, 3): the block of the grid that holds each point."""
    return np.asarray(np.clip((points - low) / block, 0, _BLOCKS), np.int64)


def _near_pairs(sculpt: Sculpt, faces: Ints, corners: Floats) -> tuple[Ints, Ints]:
    """Pairs of faces of different areas, boxes overlapping, without a common corner."""
    area = sculpt.area[faces]
    low, high = corners.min(axis=1), corners.max(axis=1)
    which = np.arange(len(faces))
    entry, cell = which, which
    for grain in _GRAINS:
        entry, cell = _where_areas_mix(area[which], *_cells_of(low[which], high[which], grain))
        kept, entry = np.unique(entry, return_inverse=True)
        which = which[kept]
    first, second = _pairs_within_cells(which[entry], cell, area)
    boxes = (low[first] <= high[second]).all(axis=1) & (low[second] <= high[first]).all(axis=1)
    code = np.unique(first[boxes] * len(faces) + second[boxes])
    first, second = np.divmod(code, max(len(faces), 1))
    shared = (corners[first][:, :, None] == corners[second][:, None, :]).all(axis=3)
    apart = ~shared.any(axis=(1, 2))
    return first[apart], second[apart]


def _cells_of(low: Floats, high: Floats, grain: float) -> tuple[Ints, Ints]:
    """Every cell of a cubic grid that each box touches: the box, and the cell's number."""
    origin = low.min(axis=0, initial=np.inf)
    extent = float((high.max(axis=0, initial=-np.inf) - origin).max(initial=0.0))
    typical = float(np.median(high - low)) if len(low) else 0.0
    size = max(grain * typical, extent / _MOST_CELLS, 1e-9)
    start = np.floor((low - origin) / size).astype(np.int64)
    span = np.floor((high - origin) / size).astype(np.int64) - start + 1
    count = span.prod(axis=1)
    box = np.repeat(np.arange(len(low)), count)
    rank = np.arange(len(box)) - np.repeat(np.cumsum(count) - count, count)
    x, rest = rank % span[box, 0], rank // span[box, 0]
    at = start[box] + np.stack([x, rest % span[box, 1], rest // span[box, 1]], axis=1)
    return box, (at[:, 2] << 40) + (at[:, 1] << 20) + at[:, 0]


def _where_areas_mix(area: NDArray[np.int32], face: Ints, cell: Ints) -> tuple[Ints, Ints]:
    """The entries in cells that hold more than one area, sorted by cell."""
    order = np.argsort(cell, kind="stable")
    face, cell = face[order], cell[order]
    starts, size = _runs(cell)
    own = area[face]
    lowest, highest = np.minimum.reduceat(own, starts), np.maximum.reduceat(own, starts)
    mixed = np.repeat(lowest != highest, size)
    return face[mixed], cell[mixed]


def _runs(cell: Ints) -> tuple[Ints, Ints]:
    """Where each run of equal numbers starts, and how long it is."""
    starts = np.flatnonzero(np.concatenate([[True], cell[1:] != cell[:-1]])[: len(cell)])
    return starts, np.diff(np.append(starts, len(cell)))


def _pairs_within_cells(face: Ints, cell: Ints, area: NDArray[np.int32]) -> tuple[Ints, Ints]:
    """Every two faces that share a cell, the one of the lower area first; pairs may repeat."""
    starts, size = _runs(cell)
    within = np.repeat(size, size)
    first = np.repeat(np.arange(len(cell)), within)
    rank = np.arange(len(first)) - np.repeat(np.cumsum(within) - within, within)
    second = np.repeat(np.repeat(starts, size), within) + rank
    own = area[face]
    ordered = own[first] < own[second]
    return face[first[ordered]], face[second[ordered]]


def _common_length(first: Floats, second: Floats) -> Floats:
    """Length of the piece of line in which two triangles cut each other, 0 where they don't.

    Moeller (1997), "A fast triangle-triangle intersection test", Journal of Graphics Tools 2 (2):
    both cut the line in which their planes meet in an interval; the overlap is what they share.
    """
    normal_1, normal_2 = _normal(first), _normal(second)
    line = np.cross(normal_1, normal_2)
    steep = np.linalg.norm(line, axis=1)
    line /= np.maximum(steep, 1e-12)[:, None]
    start_1, end_1 = _interval(first, second[:, 0], normal_2, line)
    start_2, end_2 = _interval(second, first[:, 0], normal_1, line)
    overlap = np.minimum(end_1, end_2) - np.maximum(start_1, start_2)
    return np.where(steep > 1e-6, np.maximum(overlap, 0.0), 0.0)


def _normal(triangle: Floats) -> Floats:
    """Unit normals; zero for a triangle without area."""
    cross = np.cross(triangle[:, 1] - triangle[:, 0], triangle[:, 2] - triangle[:, 0])
    length = np.linalg.norm(cross, axis=1, keepdims=True)
    return np.asarray(cross / np.where(length > 0.0, length, 1.0))


def _interval(
    triangle: Floats, point: Floats, normal: Floats, line: Floats
) -> tuple[Floats, Floats]:
    """Where a triangle crosses the plane through a point, as places along the line; else none."""
    height = np.einsum("nkc,nc->nk", triangle - point[:, None], normal)
    along = np.einsum("nkc,nc->nk", triangle - point[:, None], line)
    along += np.einsum("nc,nc->n", point, line)[:, None]
    start, end = np.full(len(triangle), np.inf), np.full(len(triangle), -np.inf)
    for a, b in ((0, 1), (1, 2), (2, 0)):
        crosses = (height[:, a] < 0.0) != (height[:, b] < 0.0)
        drop = np.where(crosses, height[:, a] - height[:, b], 1.0)
        at = along[:, a] + (along[:, b] - along[:, a]) * height[:, a] / drop
        start = np.where(crosses, np.minimum(start, at), start)
        end = np.where(crosses, np.maximum(end, at), end)
    return start, end
