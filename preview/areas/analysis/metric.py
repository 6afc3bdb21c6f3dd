"""How far apart two neighbouring faces are for a painter: far across a crease, near elsewhere."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

REFERENCE_MM = 40.0
_MOST = 1e6
_LEAST = 1e-7
_NARROWEST = 1e-6
_SPREAD = 2.0


@dataclass(frozen=True)
class Metric:
    """The metric's numbers; a marks file keeps them, so that an old file gives old areas.

    Lengths are in reference millimetres: those of the figure scaled so that the diagonal of its
    box measures 40.

    scale : reference mm per mm.
    smooth : reference mm, how far normals are spread before their turning is measured.
    bend : 1 / reference mm, the concave bend at which a step counts double.
    power : unitless, how steeply the cost of a step rises with its bend.
    convex : unitless, [0, 1], a convex bend counts as a concave one this much weaker.
    """

    scale: float
    smooth: float = 0.2
    bend: float = 0.1
    power: float = 3.0
    convex: float = 0.05

    @classmethod
    def of(cls, vertices: NDArray[np.floating]) -> Metric:
        """The metric for a figure.

        Parameters
        ----------
        vertices : (vertices, 3) float, mm.
        """
        diagonal = float(np.linalg.norm(np.ptp(vertices.astype(np.float64), axis=0)))
        return cls(REFERENCE_MM / max(diagonal, 1e-9))

    def width(self, step: Floats) -> Floats:
        """Over which length each step turns, in reference mm.

        Where faces are small, the spread normals turn all along the step. Where they are large,
        all of a crease is in one step, which then is taken to turn as sharply as spread normals of
        a finer mesh would: so coarse and fine meshes of a figure have creases of like cost.
        """
        return np.clip(step, _NARROWEST, max(_SPREAD * self.smooth, 10 * _NARROWEST))

    def cost(self, step: Floats, bend: Floats) -> Floats:
        """What each step costs.

        Parameters
        ----------
        step : (steps,) reference mm, between the middles of two faces.
        bend : (steps,) 1 / reference mm, positive where the surface is concave.

        Returns
        -------
        cost : (steps,) float64, reference mm; equals `step` where the surface is flat.

        References
        ----------
        Hoffman and Richards (1984), "Parts of recognition", Cognition 18: people part shapes along
        concave creases; from memory. The cost itself is our own.
        """
        counted = np.where(bend > 0, bend, -self.convex * bend)
        dear = np.minimum((counted / self.bend) ** self.power, _MOST)
        return step + self.width(step) * dear + _LEAST
