"""In which order areas are painted: from the inside out, from deep to raised."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.optics.spectrum import Floats

# So many faces of an area tell how deep it lies.
_FACES_ASKED = 2000


def painting_order(
    sculpt: Sculpt, sky: NDArray[np.float32], outline: NDArray[np.float64]
) -> tuple[int, ...]:
    """Indices of the areas in the order of painting; those without visible surface come last.

    What lies deep inside the figure's convex hull and sees little of the sky for the way it faces
    comes first, for a brush slips from the deep to the raised (common practice, no source).

    Parameters
    ----------
    sculpt : the figure.
    sky : (faces,) float32 in [0, 1], share of the sky's light.
    outline : (points, 3) mm, the corners of its convex hull.
    """
    depth = _depth_inside(sculpt, outline)
    covered = _covered(sculpt, sky)
    hidden = np.bincount(sculpt.area[sculpt.exposed], minlength=len(depth)) == 0
    buried = depth / max(float(depth.max()), 1e-9) + covered
    return tuple(int(k) for k in np.lexsort((np.arange(len(depth)), -buried, hidden)))


def _covered(sculpt: Sculpt, sky: NDArray[np.float32]) -> Floats:
    """(areas,) in [0, 1]: the share of its sky that the figure itself hides from each area."""
    areas = len(sculpt.area_names)
    mm2 = np.where(sculpt.exposed, sculpt.mm2, 0.0).astype(np.float64)
    # An open face that leans by its normal sees this much of the upper hemisphere.
    open_sky = 0.5 * (1.0 + sculpt.normal[:, 2])
    sees = np.bincount(sculpt.area, weights=mm2 * sky, minlength=areas)
    could = np.bincount(sculpt.area, weights=mm2 * open_sky, minlength=areas)
    return np.clip(1.0 - sees / np.maximum(could, 1e-9), 0.0, 1.0)


def _depth_inside(sculpt: Sculpt, outline: NDArray[np.float64]) -> Floats:
    """(areas,) mm: how far inside the convex hull each area lies, the mean over its surface."""
    from scipy.spatial import ConvexHull, QhullError

    depth = np.zeros(len(sculpt.area_names))
    try:
        planes = ConvexHull(outline).equations
    except QhullError:
        # A flat mesh has no inside.
        return depth
    for area in range(len(depth)):
        faces = np.flatnonzero((sculpt.area == area) & sculpt.exposed)
        faces = faces[:: max(1, len(faces) // _FACES_ASKED)]
        if len(faces):
            middle = sculpt.corners[faces].mean(axis=1, dtype=np.float64)
            inside = -(middle @ planes[:, :3].T + planes[:, 3]).max(axis=1)
            depth[area] = np.average(np.maximum(inside, 0.0), weights=sculpt.mm2[faces] + 1e-12)
    return depth
