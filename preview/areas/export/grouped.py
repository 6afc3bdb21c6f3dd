"""A mesh with a name and a colour for each group of faces, ready to be written."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, eq=False)
class Grouped:
    """What every writer is given.

    name : of the figure.
    vertices : (vertices, 3) float32, mm, Z up.
    faces : (faces, 3) int32.
    group : (faces,) int32, index into names.
    names : of the groups.
    srgb8 : (groups, 3) uint8, no two alike.
    """

    name: str
    vertices: NDArray[np.float32]
    faces: NDArray[np.int32]
    group: NDArray[np.int32]
    names: tuple[str, ...]
    srgb8: NDArray[np.uint8]

    def hex(self, number: int) -> str:
        """A group's colour as "#RRGGBB"."""
        return "#{:02X}{:02X}{:02X}".format(*self.srgb8[number].tolist())


def apart(srgb8: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """The colours, those that come twice changed a little: formats without names need that."""
    taken: set[tuple[int, ...]] = set()
    rows = []
    for row in srgb8.astype(int).tolist():
        while tuple(row) in taken:
            row = [row[0], row[1], (row[2] + 1) % 256]
        taken.add(tuple(row))
        rows.append(row)
    return np.array(rows, dtype=np.uint8).reshape(-1, 3)
