"""What a reader gives: triangles as the file holds them, before anything is mended."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, eq=False)
class Labels:
    """One way in which a file names parts of its surface.

    kind : "materials", "groups", "objects", "solids" or "colours".
    names : as the file writes them; two may be equal.
    of_face : (faces,) int32, index into names; -1 where the file says nothing.
    """

    kind: str
    names: tuple[str, ...]
    of_face: NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Soup:
    """The triangles of one file, in the file's unit and axes.

    vertices : (vertices, 3) float32 or float64; may repeat, may hold values that are no number.
    faces : (faces, 3) int32, each in range.
    source_face : (faces,) int64, which face of the file, counted from 0, a triangle is or is
        part of.
    source_count : how many faces the file holds.
    labels : in no particular order.
    unit : the unit that the file states, "" when it states none.
    up : the axis that the format or file states as up, "" when none.
    notes : what the reader mended, one plain sentence each.
    warnings : what is lost for good, such as the end of a file that was cut off.
    """

    vertices: NDArray[np.floating]
    faces: NDArray[np.int32]
    source_face: NDArray[np.int64]
    source_count: int
    labels: tuple[Labels, ...] = ()
    unit: str = ""
    up: str = ""
    notes: tuple[str, ...] = field(default=())
    warnings: tuple[str, ...] = field(default=())


def labels_from_parts(kind: str, names: Sequence[str | None], sizes: Sequence[int]) -> Labels:
    """Labels for faces that come part after part.

    Parameters
    ----------
    kind : as in Labels.
    names : one a part, None where the file names nothing.
    sizes : how many faces each part has.
    """
    distinct = list(dict.fromkeys(name for name in names if name is not None))
    place = {name: k for k, name in enumerate(distinct)}
    numbers = np.array([-1 if n is None else place[n] for n in names], dtype=np.int32)
    return Labels(kind, tuple(distinct), np.repeat(numbers, np.asarray(sizes, dtype=np.int64)))
