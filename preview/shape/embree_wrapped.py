"""Embree by embreex's classes: slow to take a mesh over, but on every system."""

from __future__ import annotations

import numpy as np
from embreex.mesh_construction import TriangleMesh
from embreex.rtcore_scene import EmbreeScene
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Ints = NDArray[np.int32]


class WrappedEmbree:
    """As `preview.shape.embree.Embree`."""

    def __init__(self, vertices: Floats, faces: Ints) -> None:
        self._scene = EmbreeScene(robust=True)
        self._mesh = TriangleMesh(self._scene, vertices, faces)
        # The first query commits the scene, which must not happen in two threads at once.
        self._scene.run(np.zeros((1, 3), np.float32), np.ones((1, 3), np.float32))

    def first_hit(
        self, origins: Floats, directions: Floats, face: Ints, distance: Floats, bary: Floats
    ) -> None:
        """Fill in what each ray meets first."""
        hit = self._scene.run(origins, directions, output=True)
        face[:] = hit["primID"]
        distance[:] = np.where(hit["primID"] >= 0, hit["tfar"], np.inf)
        bary[:, 0], bary[:, 1] = hit["u"], hit["v"]

    def blocked(
        self, origins: Floats, directions: Floats, reach: float, blocked: NDArray[np.bool_]
    ) -> None:
        """Fill in whether each ray meets anything."""
        got = self._scene.run(origins, directions, dists=float(reach), query="OCCLUDED")
        blocked[:] = got >= 0
