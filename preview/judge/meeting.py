"""Which areas meet, how and over what length: everything about it that needs no colour."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Stretches:
    """Pieces of visible border, each of one view, one pair, one kind, and about 1.5 mm long.

    pair : (stretches,) int32, index into Meeting.pairs.
    kind : (stretches,) int32, `Kind`.
    view : (stretches,) int32.
    length_mm : (stretches,) float64, as seen.
    width_mm : (stretches, 2) float64, local width of what the pair's first and second area show.
    part_mm : (stretches, 2) float64, length of the bar that stands for that part.
    """

    pair: Ints
    kind: Ints
    view: Ints
    length_mm: Floats
    width_mm: Floats
    part_mm: Floats


@dataclass(frozen=True, eq=False)
class Touches:
    """Which faces meet along the stretches; colours are averaged over them.

    stretch : (touches,) int32.
    face : (touches, 2) int32, of the pair's first and second area.
    length_mm : (touches,) float64.
    """

    stretch: Ints
    face: Ints
    length_mm: Floats


@dataclass(frozen=True, eq=False)
class Meeting:
    """The neighbours of a sculpt, measured once; colours come later.

    pairs : (pairs, 2) int32, area indices, first < second.
    edge_mm : (pairs,) float64, length of the mesh edges they share, whether in sight or not.
    contact_mm : (pairs,) float64, length of the lines in which they cut through each other, around
        where a view shows them in contact, or the longest contact that one view shows if that is
        more, as where they touch without a cut.
    visible_mm : (pairs, 3, views) float64, visible length by `Kind` and view.
    part_width_mm : (areas, views) float64, local width of each area; NaN where a view shows none.
    view_weight : (views,) float64, how much each view counts; their mean is 1.
    face_samples : (faces,) float64, by how many samples each face is seen, by view weight.
    sample_mm : the grid on which all was measured.
    distance_m : the distance for which the grid was chosen.
    """

    area_names: tuple[str, ...]
    pairs: Ints
    edge_mm: Floats
    contact_mm: Floats
    visible_mm: Floats
    part_width_mm: Floats
    view_weight: Floats
    face_samples: Floats
    stretches: Stretches
    touches: Touches
    sample_mm: float
    distance_m: float
