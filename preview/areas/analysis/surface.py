"""A mesh as a net of faces: who is beside whom, how sharply it bends there, what a step costs."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.metric import Metric
from preview.areas.analysis.normals import spread_normals
from preview.areas.facing import area_vectors, lengths
from preview.shape.neighbours import neighbours_of, shells_of
from preview.shape.net import Net, Ways
from preview.shape.triangles import middles

if TYPE_CHECKING:
    from scipy.spatial import cKDTree

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Surface:
    """The faces of a mesh and the steps between them.

    vertices, faces : (vertices, 3) float32, mm; (faces, 3) int32.
    centre, normal : (faces, 3) float64, mm; unit vectors as the mesh has them.
    mm2 : (faces,) float64, mm².
    left, right : (steps,) int32, two faces that share an edge.
    edge : (steps,) float64, mm, how long that edge is.
    step : (steps,) float64, mm, how far apart the faces' middles are.
    bend : (steps,) float64, 1 / reference mm, of the spread normals; positive where concave.
    cost : (steps,) float64, reference mm, what the metric makes of the step.
    net : of the faces, tied by steps.
    shells, shell : how many there are; (faces,) int32, to which a face belongs.
    """

    metric: Metric
    vertices: NDArray[np.float32]
    faces: Ints
    centre: Floats
    normal: Floats
    mm2: Floats
    left: Ints
    right: Ints
    edge: Floats
    step: Floats
    bend: Floats
    cost: Floats
    net: Net
    shells: int
    shell: Ints

    def ways(self) -> Ways:
        """Shortest ways in the metric, from nowhere yet."""
        return Ways(self.net, self.cost)

    def plain_ways(self) -> Ways:
        """Shortest ways in mm, whatever they cross, from nowhere yet."""
        return Ways(self.net, np.maximum(self.step, 1e-7))

    @cached_property
    def by_place(self) -> cKDTree:
        """The faces' middles, to find those near a place."""
        from scipy.spatial import cKDTree

        return cKDTree(self.centre)

    @cached_property
    def creased(self) -> NDArray[np.bool_]:
        """(faces,) bool: some step from here costs more than twice its length."""
        dear = self.cost > 2.0 * self.step * self.metric.scale + 1e-6
        found = np.zeros(len(self.faces), np.bool_)
        found[self.left[dear]] = True
        found[self.right[dear]] = True
        return found


def surface_of(
    vertices: NDArray[np.floating], faces: NDArray[np.integer], metric: Metric
) -> Surface:
    """The net of a mesh in a metric.

    Parameters
    ----------
    vertices : (vertices, 3) float, mm, each place once.
    faces : (faces, 3) int, wound alike, outward.
    metric : its scale belongs to the figure, not to this mesh of it.

    Notes
    -----
    Holds exactly: moving and turning the mesh changes costs by rounding only; a mesh scaled by s
    under a metric of scale / s has the same costs.
    """
    places = np.asarray(vertices, dtype=np.float32)
    triples = np.asarray(faces, dtype=np.int32)
    pairs = neighbours_of(triples)
    shells, shell = shells_of(len(triples), pairs)
    vectors = area_vectors(places, triples)
    mm2 = lengths(vectors)
    normal = vectors / np.maximum(mm2, 1e-30)[:, None]
    centre = middles(places, triples).astype(np.float64)
    left, right = pairs.left, pairs.right
    edge = lengths((places[pairs.ends[:, 1]] - places[pairs.ends[:, 0]]).astype(np.float64))
    apart = centre[right] - centre[left]
    step = lengths(apart)
    net = Net.of(len(triples), left, right)
    spread = spread_normals(normal, mm2, net, edge, step, metric.smooth / metric.scale)
    reference = step * metric.scale
    bend = _turning(spread, left, right, apart) / metric.width(reference)
    return Surface(
        metric=metric, vertices=places, faces=triples, centre=centre, normal=normal, mm2=mm2,
        left=left, right=right, edge=edge, step=step, bend=bend,
        cost=metric.cost(reference, bend), net=net, shells=shells, shell=shell,
    )  # fmt: skip


def _turning(normal: Floats, left: Ints, right: Ints, apart: Floats) -> Floats:
    """(steps,) radians: the angle between the normals of two faces, positive where concave."""
    a, b = normal[left], normal[right]
    difference = b - a
    # Half the chord is the sine of half the angle: exact for small angles, too.
    angle = 2.0 * np.arcsin(np.minimum(0.5 * lengths(difference), 1.0))
    opens = np.einsum("ij,ij->i", difference, apart)
    return np.where(opens < 0, angle, -angle)
