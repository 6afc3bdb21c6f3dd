"""A sculpt: the mesh in millimetres, each face with its area, and what was mended on the way."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from preview.areas.facing import area_vectors, lengths

if TYPE_CHECKING:
    from preview.shape.rays import RayScene


@dataclass(frozen=True)
class Placement:
    """How file units became millimetres, Z up."""

    mm_per_unit: float
    unit: str
    up: str
    why: str
    height_mm: float
    turn_deg: float = 0.0


@dataclass(frozen=True, eq=False)
class Sculpt:
    """One figure, ready for light and paint.

    vertices : (vertices, 3) float32, mm, Z up, centred in x and y, lowest point at z = 0.
    faces : (faces, 3) int32, counter-clockwise seen from outside.
    area : (faces,) int32, index into area_names.
    source_face : (faces,) int64, the face of the user's file (files counted on) it came from.
    exposed : (faces,) bool, seen from some direction; hidden faces count in no figure.
    repairs : what was mended, one plain sentence each; empty when nothing was.
    warnings : what is lost for good, such as faces of a file that was cut off.
    """

    name: str
    vertices: NDArray[np.float32]
    faces: NDArray[np.int32]
    area: NDArray[np.int32]
    area_names: tuple[str, ...]
    source_face: NDArray[np.int64]
    exposed: NDArray[np.bool_]
    placement: Placement
    areas_from: str
    repairs: tuple[str, ...] = field(default=())
    warnings: tuple[str, ...] = field(default=())

    @cached_property
    def corners(self) -> NDArray[np.float32]:
        """(faces, 3, 3) float32, mm: the corner positions of each face."""
        return self.vertices[self.faces]

    @cached_property
    def rays(self) -> RayScene:
        """The mesh prepared for rays: costly, so made once for all who need it."""
        from preview.shape.rays import RayScene

        return RayScene(self.vertices, self.faces)

    @cached_property
    def normal(self) -> NDArray[np.float32]:
        """(faces, 3) float32: outward unit normal of each face."""
        vectors = area_vectors(self.vertices, self.faces)
        length = lengths(vectors)
        return (vectors / np.where(length > 0, length, 1.0)[:, None]).astype(np.float32)

    @cached_property
    def mm2(self) -> NDArray[np.float32]:
        """(faces,) float32, mm²: the size of each face, hidden or not."""
        return lengths(area_vectors(self.vertices, self.faces)).astype(np.float32)
