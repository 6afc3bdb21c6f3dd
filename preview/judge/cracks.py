"""Borders in a label picture, and how long they are whatever way they run."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

_REACH = 4
_SPREAD = 1.35


@dataclass(frozen=True, eq=False)
class Cracks:
    """The sides of samples at which two labels >= 0 meet.

    first, second : (cracks,) int64, flat index of the sample on either side; the label of the
        first is the smaller.
    length : (cracks,) float64, in samples, this side's share of the border's length.
    """

    first: NDArray[np.int64]
    second: NDArray[np.int64]
    length: NDArray[np.float64]


def find_cracks(label: NDArray[np.int32]) -> Cracks:
    """Where labels meet, each crack with its share of the border's true length.

    A plain count of sample sides makes a diagonal 1.41 times too long. Here each side counts
    |cos| of the angle between its own normal and the border's, estimated from the two labels
    around it. Their sum is the length of a straight border in any direction, since a border of
    length l and normal n crosses l |n_x| sides across and l |n_y| sides down.

    Parameters
    ----------
    label : (rows, columns) int32; below 0 is no area.
    """
    across = _cracks_along(label)
    columns = label.shape[1]
    down = _cracks_along(np.ascontiguousarray(label.T))
    # A flat index of the turned picture is column * rows + row.
    rows = label.shape[0]
    first = np.concatenate([across[0], (down[0] % rows) * columns + down[0] // rows])
    second = np.concatenate([across[1], (down[1] % rows) * columns + down[1] // rows])
    return Cracks(first, second, np.concatenate([across[2], down[2]]))


def _cracks_along(
    label: NDArray[np.int32],
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float64]]:
    """Cracks between neighbours in a row: flat indices, smaller label first, and lengths."""
    left, right = label[:, :-1], label[:, 1:]
    row, column = np.nonzero((left != right) & (left >= 0) & (right >= 0))
    a, b = label[row, column], label[row, column + 1]
    length = _normal_across(label, row, column, a, b)
    at_left = row * label.shape[1] + column
    swap = a > b
    return at_left + swap, at_left + ~swap, length


def _normal_across(
    label: NDArray[np.int32],
    row: NDArray[np.int64],
    column: NDArray[np.int64],
    a: NDArray[np.int32],
    b: NDArray[np.int32],
) -> NDArray[np.float64]:
    """|n_x| of the border between labels a and b at each crack, from the samples around it."""
    padded = np.pad(label, _REACH, mode="edge")
    flat, columns = padded.ravel(), padded.shape[1]
    base = (row + _REACH) * columns + column + _REACH
    gradient_x, gradient_y = np.zeros(len(row)), np.zeros(len(row))
    for down in range(-_REACH, _REACH + 1):
        for along in range(1 - _REACH, _REACH + 1):
            x, y = along - 0.5, float(down)
            weight = np.exp(-(x * x + y * y) / (2.0 * _SPREAD**2))
            there = flat[base + down * columns + along]
            side = (there == b).astype(np.float64) - (there == a)
            gradient_x += weight * x * side
            gradient_y += weight * y * side
    norm = np.hypot(gradient_x, gradient_y)
    # Where the two cancel the direction is unknown: the mean over all directions.
    known = norm > 1e-6
    return np.where(known, np.abs(gradient_x) / np.where(known, norm, 1.0), np.pi / 4.0)
