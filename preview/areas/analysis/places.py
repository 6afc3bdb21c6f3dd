"""The face of a surface at, or nearest to, a place in space."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.surface import Surface
from preview.shape.nearest import nearest_on_triangles

Ints = NDArray[np.int32]
Floats = NDArray[np.float64]

_CANDIDATES = 48
_FACING = 0.2


@dataclass(frozen=True)
class Hit:
    """Where a place falls on a surface: the face, the point on it, and how far that is."""

    face: int
    at: Floats
    distance_mm: float


class Places:
    """A surface's faces, found by place.

    Parameters
    ----------
    surface : the net of faces.
    points : (points, 3) float64 mm, spread over all faces.
    face : (points,) int32, the face of each.
    """

    def __init__(self, surface: Surface, points: Floats, face: Ints) -> None:
        from scipy.spatial import cKDTree

        self._surface, self._face = surface, face
        self._tree = cKDTree(points)

    def nearest(self, at: Floats, normal: Floats | None = None) -> Hit:
        """The nearest face, among those that face the way of `normal` where there are any near.

        Parameters
        ----------
        at : (3,) mm.
        normal : (3,) outward; None or zero, as between two sides of a sheet, takes any side.
        """
        most = min(_CANDIDATES, len(self._face))
        _, several = self._tree.query(at, k=most)
        faces = np.unique(self._face[np.atleast_1d(several)])
        if normal is not None and normal.any():
            along = self._surface.normal[faces] @ normal / np.linalg.norm(normal)
            faces = faces[along > _FACING] if (along > _FACING).any() else faces
        foot = nearest_on_triangles(at, self._surface.vertices[self._surface.faces[faces]])
        distance = np.linalg.norm(foot - at, axis=1)
        best = int(np.argmin(distance))
        return Hit(int(faces[best]), foot[best], float(distance[best]))
