"""Lines drawn over a surface from place to place."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.surface import Surface
from preview.shape.net import Ways

Ints = NDArray[np.int32]

# A line would rather go round a sharp fold than across it, but not round half the figure: a step
# across a bend of so much per reference mm counts double, no step more than so many times. Choices
# of ours.
_BEND = 0.3
_MOST = 20.0


class Lines:
    """Lines over a surface, each looked for once.

    Parameters
    ----------
    surface : the net of faces.
    """

    def __init__(self, surface: Surface) -> None:
        folded = 1.0 + np.maximum(surface.bend, 0.0) / _BEND
        self._cost = np.maximum(surface.step, 1e-7) * np.minimum(folded, _MOST)
        self._net = surface.net
        self._found: dict[tuple[int, int], Ints] = {}

    def between(self, start: int, end: int) -> Ints:
        """The faces of a line from one face to another that follows the part on which they lie.

        Returns
        -------
        line : (faces,) int32, from start to end, each sharing an edge with the next; start and end
            alone where no way leads from one to the other.
        """
        if (start, end) not in self._found:
            ways = Ways(self._net, self._cost)
            ways.add(np.array([end]), until=start)
            line = ways.way(start)
            joined = line[-1] == end
            self._found[start, end] = line if joined else np.array([start, end], np.int32)
        return self._found[start, end]
