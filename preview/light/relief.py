"""Recesses and raised edges at a scale in millimetres, whatever the triangles.

Around each face the mean place of the surface is taken, by size and with a bell-shaped weight
as wide as the relief asked for. On a plane the mean lies in the plane; in a recess it lies
before the face, on a ridge behind it. Its distance over the width of the weight tells how sharp.
Surface that faces away counts for nothing, so that a thin sheet is no ridge.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.shape.moments import SurfaceMoments
from preview.shape.triangles import middles

_PLAIN = 0.04
_RIGHT_ANGLE = 0.27

Floats = NDArray[np.float32]


def relief(
    vertices: Floats,
    faces: NDArray[np.int32],
    normals: Floats,
    sizes: Floats,
    relief_mm: float,
) -> tuple[Floats, Floats]:
    """How deep in a recess, and how sharp on a raised edge, each face lies.

    Parameters
    ----------
    vertices : (vertices, 3) float32, mm.
    faces : (faces, 3) int32; those that can be seen, for hidden surface bends nothing.
    normals : (faces, 3) float32.
    sizes : (faces,) float32, mm².
    relief_mm : twice the standard deviation of the weight, > 0.

    Returns
    -------
    recess, edge : (faces,) float32, in [0, 1]; 0 on plain surface, 1 where the surface bends by
        a right angle at once.

    Notes
    -----
    Holds exactly: a plane has neither. Leaves out: what is much finer than `relief_mm`; on surfaces
    so large that they would fill too many cells, what is finer than these allow. Where the grid
    begins changes the levels of tightly curved surface by about 0.03.
    """
    moments = SurfaceMoments(vertices, faces, normals, sizes, relief_mm / 2)
    bend = moments.ahead(middles(vertices, faces), normals) / np.float32(moments.width)
    return _level(bend), _level(-bend)


def _level(bend: Floats) -> Floats:
    """0 up to gentle curves, 1 from a right angle on, smooth between."""
    x = np.clip((bend - _PLAIN) / (_RIGHT_ANGLE - _PLAIN), 0.0, 1.0)
    return np.asarray(x * x * (3.0 - 2.0 * x), dtype=np.float32)
