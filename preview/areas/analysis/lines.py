"""Lines drawn over a surface from place to place."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.places import Places
from preview.areas.analysis.surface import Surface
from preview.shape.net import Ways

Ints = NDArray[np.int32]

# A line would rather go round a sharp fold than across it, but not round half the figure: a step
# across a bend of so much per reference mm counts double, no step more than so many times. Choices
# of ours.
_BEND = 0.3
_MOST = 20.0
# Reference mm: a straight line that stays so near the surface is the line. A choice of ours.
_NEAR = 0.1
_EACH = 0.2


@dataclass(frozen=True, eq=False)
class Line:
    """A line over a surface.

    faces : (faces,) int32, from its start to its end, each once.
    at : (faces, 3) float64 mm, a place of the line on each.
    """

    faces: Ints
    at: NDArray[np.float64]


class Lines:
    """Lines over a surface, each looked for once.

    Parameters
    ----------
    surface : the net of faces.
    places : on it.
    """

    def __init__(self, surface: Surface, places: Places) -> None:
        self._surface, self._places = surface, places
        folded = 1.0 + np.maximum(surface.bend, 0.0) / _BEND
        self._cost = np.maximum(surface.step, 1e-7) * np.minimum(folded, _MOST)
        self._found: dict[tuple[int, int], Line] = {}

    def between(self, start: int, end: int) -> Line:
        """A line from one face to another that follows the part on which they lie.

        It is the straight line where that lies on the surface; else each face shares an edge with
        the next; it has no more than start and end where no way leads from one to the other.
        """
        if (start, end) not in self._found:
            self._found[start, end] = self._straight(start, end) or self._way(start, end)
        return self._found[start, end]

    def _straight(self, start: int, end: int) -> Line | None:
        """The straight line; None where it leaves the surface.

        Over flat triangles that are long or fan out, steps from face to face make a detour.
        """
        surface = self._surface
        scale = surface.metric.scale
        a, b = surface.centre[start], surface.centre[end]
        places = {start: a}
        for share in np.linspace(0.0, 1.0, 2 + int(np.linalg.norm(b - a) * scale / _EACH)):
            facing = (1 - share) * surface.normal[start] + share * surface.normal[end]
            if not facing.any():
                return None
            hit = self._places.nearest((1 - share) * a + share * b, facing)
            on_it = surface.shell[hit.face] == surface.shell[start]
            if not on_it or hit.distance_mm * scale > _NEAR:
                return None
            places.setdefault(hit.face, hit.at)
        places.pop(end, None)
        faces = np.array([*places, end], np.int32)
        return Line(faces, np.stack([*places.values(), b]))

    def _way(self, start: int, end: int) -> Line:
        """The shortest way by the costs of steps."""
        ways = Ways(self._surface.net, self._cost)
        ways.add(np.array([end]), until=start)
        faces = ways.way(start)
        if faces[-1] != end:
            faces = np.array([start, end], np.int32)
        return Line(faces, self._surface.centre[faces])
