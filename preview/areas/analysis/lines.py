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


def line_between(surface: Surface, start: int, end: int) -> Ints:
    """The faces of a line from one face to another that follows the part on which they lie.

    Parameters
    ----------
    surface : the net of faces.
    start, end : faces.

    Returns
    -------
    line : (faces,) int32, from start to end, each sharing an edge with the next; start and end
        alone where no way leads from one to the other.
    """
    hollow = np.maximum(surface.bend, 0.0)
    ways = Ways(surface.net, np.maximum(surface.step, 1e-7) * np.minimum(1 + hollow / _BEND, _MOST))
    ways.add(np.array([end]))
    line = ways.way(start)
    return line if line[-1] == end else np.array([start, end], np.int32)
