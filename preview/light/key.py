"""Direct light from one direction, with the shadow that the sculpt casts on itself."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.shape.rays import RayScene

_LIFT_MM = 1e-3

Floats = NDArray[np.float32]


def key_light(
    centres: Floats, normals: Floats, scene: RayScene, towards: NDArray[np.float64]
) -> Floats:
    """The cosine to the light at each face's middle, 0 where the sculpt is in the way.

    Parameters
    ----------
    centres, normals : (faces, 3) float32, mm and unitless.
    scene : the mesh that casts the shadow.
    towards : (3,) float64, unit vector to the light.

    Returns
    -------
    key : (faces,) float32, in [0, 1].
    """
    direction = towards.astype(np.float32)
    cosine: Floats = np.clip(np.einsum("fx,x->f", normals, direction), 0.0, 1.0)
    facing = np.flatnonzero(cosine > 0)
    lift = np.take(normals, facing, axis=0) * np.float32(_LIFT_MM)
    origins = np.take(centres, facing, axis=0) + lift
    cosine[facing[scene.blocked(origins, direction[None, :])]] = 0.0
    return cosine
