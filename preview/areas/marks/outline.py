"""A patch of a surface within a closed line, as a stencil held against it would leave it free."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from preview.areas.marks.spots import Placed

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]

# Mean cosine between the corners' normals and that of the stencil: below, it lies against nothing.
# Corners that lean 70° outward all around still do. A choice of ours.
_LEAST_FACING = 0.3
# The spread of the corners across against that along.
_IN_LINE = 0.01


class Stencil:
    """A flat sheet held against the surface, with a hole of some corners.

    It lies as the corners do, in the plane in which they enclose most.

    Parameters
    ----------
    corners : three or more, in order around the hole, not first again at the end.

    Attributes
    ----------
    mm2 : mm², how large the hole is.
    wide : mm, how wide it is, a square's side.

    References
    ----------
    Sutherland, Sproull and Schumacker (1974), "A characterization of ten hidden-surface
    algorithms", ACM Computing Surveys 6, for Newell's plane of a polygon; from memory.
    """

    def __init__(self, corners: Sequence[Placed]) -> None:
        at = np.array([corner.at for corner in corners])
        at = at - at.mean(axis=0)
        _, spread, ways = np.linalg.svd(at, full_matrices=False)
        self._in_line = bool(spread[1] <= _IN_LINE * spread[0])
        # Where lines cross, what they enclose tells no plane.
        self._flat = at @ ways[:2].T
        vector = np.cross(at, np.roll(at, -1, axis=0)).sum(axis=0) / 2
        self.mm2 = float(np.linalg.norm(vector))
        axis = vector / max(self.mm2, 1e-12)
        facing = float(np.mean([corner.normal @ axis for corner in corners]))
        self._facing, self._axis = abs(facing), axis if facing >= 0 else -axis
        side = np.eye(3)[int(np.argmin(np.abs(axis)))]
        across = np.cross(side, axis)
        across /= max(float(np.linalg.norm(across)), 1e-12)
        self._plane = np.stack((across, np.cross(axis, across)), axis=1)
        self._corners = np.array([corner.at for corner in corners]) @ self._plane
        # Of a strip twice its width, of a square its side.
        around = np.linalg.norm(self._corners - np.roll(self._corners, -1, axis=0), axis=1).sum()
        self.wide = 4.0 * self.mm2 / max(float(around), 1e-12)

    @property
    def slip(self) -> tuple[str, str]:
        """What is wrong with it and what would put it right; empty where nothing is."""
        if self._in_line:
            return (
                "the corners of the outline lie almost in one line",
                "put them around the patch, or make it a stroke",
            )
        crossed = self._crossed()
        if crossed:
            (a, b), (c, d) = crossed
            return (
                f"the outline crosses itself: the line from corner {a} to {b}, and that from {c} "
                f"to {d}",
                "give the corners in order around the patch, each once",
            )
        if self._facing < _LEAST_FACING:
            return (
                "the corners of the outline face too many ways for one flat stencil",
                "make two outlines, or a belt of what runs all around; put corners on a sharp "
                "edge a little inside it",
            )
        return "", ""

    def _crossed(self) -> tuple[tuple[int, int], tuple[int, int]] | None:
        """The corners, counted from 1, of the first two sides that cross; None where none do."""
        start, end = self._flat, np.roll(self._flat, -1, axis=0)
        along = end - start

        def beyond(points: Floats) -> Floats:
            """(sides, points) on which side of each side each point lies: above 0, below 0."""
            away = points[None] - start[:, None]
            side = along[:, None, 0] * away[..., 1] - along[:, None, 1] * away[..., 0]
            return np.asarray(side, dtype=np.float64)

        parted = beyond(start) * beyond(end) < 0
        first, second = np.nonzero(np.triu(parted & parted.T))
        if not len(first):
            return None
        count = len(start)
        one, other = int(first[0]), int(second[0])
        return (one + 1, (one + 1) % count + 1), (other + 1, (other + 1) % count + 1)

    def leaves_free(self, points: Floats, normals: Floats) -> Bools:
        """Which points lie under the hole and face it.

        Parameters
        ----------
        points : (points, 3) float, mm.
        normals : (points, 3) float, outward.

        References
        ----------
        Shimrat (1962), "Algorithm 112: Position of point relative to polygon", Communications of
        the ACM 5, for counting the sides that a ray crosses; from memory.
        """
        x, y = (points @ self._plane).T
        inside = np.zeros(len(points), np.bool_)
        ends = np.roll(self._corners, -1, axis=0)
        for (x0, y0), (x1, y1) in zip(self._corners.tolist(), ends.tolist(), strict=True):
            if y0 != y1:
                crossed = (y0 > y) != (y1 > y)
                inside ^= crossed & (x < x0 + (y - y0) * (x1 - x0) / (y1 - y0))
        return np.asarray(inside & (normals @ self._axis > 0), dtype=np.bool_)
