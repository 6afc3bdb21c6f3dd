"""Points spread over all faces of a mesh, so that places on it are found."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from preview.areas.facing import area_vectors, lengths
from preview.shape.triangles import longest_edge

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

_FINEST = 24
_MOST = 400_000


def points_on(vertices: NDArray[np.float32], faces: Ints, spacing: float) -> tuple[Floats, Ints]:
    """Points on every face, no farther apart than `spacing` where that is affordable.

    Returns
    -------
    points : (points, 3) float64 mm.
    face : (points,) int32, the face of each; every face has at least one.
    """
    mm2 = lengths(area_vectors(vertices, faces))
    spacing = max(spacing, float(np.sqrt(mm2.sum() / _MOST)))
    rows = np.clip(np.ceil(longest_edge(vertices, faces) / spacing), 1, _FINEST).astype(np.int64)
    found = list(_rows_of_points(vertices, faces, rows))
    return np.concatenate([p for p, _ in found]), np.concatenate([f for _, f in found])


def _rows_of_points(
    vertices: NDArray[np.float32], faces: Ints, rows: NDArray[np.int64]
) -> Iterator[tuple[Floats, Ints]]:
    """For faces with the same number of rows, evenly spread inner points."""
    for n in np.unique(rows).tolist():
        which = np.flatnonzero(rows == n).astype(np.int32)
        i, j = (k.ravel() for k in np.meshgrid(np.arange(n), np.arange(n)))
        keep = i + j < n
        weights = np.stack([i, j, n - 1 - i - j], axis=1)[keep] + 1 / 3
        corners = vertices[faces[which]].astype(np.float64)
        points = np.einsum("wc,fcx->fwx", weights / n, corners).reshape(-1, 3)
        yield points, np.repeat(which, int(keep.sum()))
