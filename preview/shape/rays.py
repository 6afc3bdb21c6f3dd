"""Where rays first meet a mesh: Embree behind one class."""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from preview.shape.threads import chunks, in_threads

if TYPE_CHECKING:
    from preview.shape.embree import Embree
    from preview.shape.embree_wrapped import WrappedEmbree

_CHUNK = 1 << 16

Floats = NDArray[np.float32]


class RayScene:
    """A mesh prepared for rays.

    Parameters
    ----------
    vertices : (vertices, 3) float, any one unit of length.
    faces : (faces, 3) int, indices into vertices.

    Notes
    -----
    Rays and mesh are float32, as Embree's are. The scene is built robust: no ray slips through
    the seam between two faces that share an edge; of rays aimed exactly at a corner that faces
    share, a few in 10,000 did. Answers do not depend on the number of threads.

    References
    ----------
    Wald, Woop, Benthin, Johnson, Ernst (2014), "Embree: a kernel framework for efficient CPU ray
    tracing", ACM Transactions on Graphics 33 (4).
    """

    def __init__(self, vertices: NDArray[np.floating], faces: NDArray[np.integer]) -> None:
        self.vertices: Floats = np.ascontiguousarray(vertices, dtype=np.float32)
        self.faces: NDArray[np.int32] = np.ascontiguousarray(faces, dtype=np.int32)
        self._embree = _prepared(self.vertices, self.faces)
        self._turned: NDArray[np.bool_] | None = None

    def turned(self, which: NDArray[np.bool_]) -> RayScene:
        """The same mesh with some faces wound the other way, not prepared anew for it.

        Parameters
        ----------
        which : (faces,) bool, the faces to turn: their corners come in the opposite order.
        """
        scene = copy(self)
        scene.faces = np.where(which[:, None], self.faces[:, ::-1], self.faces)
        scene._turned = which if self._turned is None else which ^ self._turned
        return scene

    def first_hit(
        self, origins: Floats, directions: Floats
    ) -> tuple[NDArray[np.int32], Floats, Floats]:
        """The first face that each ray meets, from either side.

        Parameters
        ----------
        origins : (rays, 3) float32, the mesh's unit.
        directions : (rays, 3) or (1, 3) float32; one for all, or one each.

        Returns
        -------
        face : (rays,) int32, -1 where the ray meets nothing.
        distance : (rays,) float32, in lengths of the direction; inf where it meets nothing.
        bary : (rays, 2) float32, weights of the face's corners 1 and 2; 0 where nothing is met.
        """
        origins, directions = _ready(origins, directions)
        face = np.empty(len(origins), np.int32)
        distance = np.empty(len(origins), np.float32)
        bary = np.empty((len(origins), 2), np.float32)

        def cast(part: slice) -> None:
            on = _part(directions, part)
            self._embree.first_hit(origins[part], on, face[part], distance[part], bary[part])

        for _ in in_threads(cast, chunks(len(origins), _CHUNK)):
            pass
        if self._turned is not None:
            # What was the last corner when the mesh was prepared is the first one now.
            other = np.flatnonzero((face >= 0) & self._turned[face])
            bary[other, 1] = 1 - bary[other, 0] - bary[other, 1]
        return face, distance, bary

    def blocked(
        self, origins: Floats, directions: Floats, reach: float = 1e30
    ) -> NDArray[np.bool_]:
        """Whether each ray meets anything within `reach` lengths of its direction.

        Parameters
        ----------
        origins : (rays, 3) float32, the mesh's unit.
        directions : (rays, 3) or (1, 3) float32; one for all, or one each.
        reach : lengths of the direction, > 0.
        """
        origins, directions = _ready(origins, directions)
        blocked = np.empty(len(origins), np.bool_)

        def cast(part: slice) -> None:
            self._embree.blocked(origins[part], _part(directions, part), reach, blocked[part])

        for _ in in_threads(cast, chunks(len(origins), _CHUNK)):
            pass
        return blocked


def _prepared(vertices: Floats, faces: NDArray[np.int32]) -> Embree | WrappedEmbree:
    """The mesh in Embree, by the fast way where it is open."""
    try:
        from preview.shape.embree import Embree

        return Embree(vertices, faces)
    except (OSError, AttributeError):
        from preview.shape.embree_wrapped import WrappedEmbree

        return WrappedEmbree(vertices, faces)


def _ready(origins: Floats, directions: Floats) -> tuple[Floats, Floats]:
    """Both as float32 rows, in one layout; ValueError when their counts do not fit."""
    origins = np.ascontiguousarray(origins, dtype=np.float32).reshape(-1, 3)
    directions = np.ascontiguousarray(directions, dtype=np.float32).reshape(-1, 3)
    if len(directions) not in (1, len(origins)):
        raise ValueError(f"{len(origins)} origins do not fit {len(directions)} directions")
    return origins, directions


def _part(directions: Floats, part: slice) -> Floats:
    """The directions of a chunk; a single one serves every chunk."""
    return directions if len(directions) == 1 else directions[part]
