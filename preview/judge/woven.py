"""Which tones meet along each stretch of border: a sparse average, made once per light."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from preview.judge.grouping import sums
from preview.judge.meeting import Meeting

if TYPE_CHECKING:
    from scipy.sparse import csr_array

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Woven:
    """Means over the faces that meet, as matrices over the rows of a table of colours.

    side : two matrices (stretches, rows), for the pair's first and second area.
    share : (rows,) float64, of the figure in sight, by view weight; sums to 1, or 0 where nothing
        is in sight.
    """

    side: tuple[csr_array, csr_array]
    share: Floats

    def tones(self, per_row: NDArray[np.floating]) -> Floats:
        """(stretches, 2, channels): means of (rows, channels) on either side of the borders."""
        values = np.asarray(per_row, np.float64)
        return np.stack([matrix @ values for matrix in self.side], axis=1)

    def along(self, stretches: NDArray[np.integer]) -> Woven:
        """The averages of some of the stretches alone; the figure's share stays."""
        first, second = self.side
        return Woven((first[stretches], second[stretches]), self.share)


def weave(meeting: Meeting, row: NDArray[np.integer] | None, rows: int) -> Woven:
    """The averages of a sculpt's borders over the rows of a table.

    Parameters
    ----------
    row : (faces,) which row each face shows; None when each face has its own.
    rows : how many there are.
    """
    from scipy.sparse import csr_array

    touches, count = meeting.touches, len(meeting.stretches.length_mm)
    of_face = np.arange(rows) if row is None else row
    share = (
        touches.length_mm
        / np.maximum(sums(touches.stretch, touches.length_mm, count), 1e-12)[touches.stretch]
    )
    sides = tuple(
        csr_array((share, (touches.stretch, of_face[touches.face[:, k]])), shape=(count, rows))
        for k in (0, 1)
    )
    seen = sums(of_face, meeting.face_samples, rows)
    return Woven((sides[0], sides[1]), seen / max(float(seen.sum()), 1e-12))
