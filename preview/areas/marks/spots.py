"""Places of marks found on a surface, and their images on the other side."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from preview.areas.analysis.analysis import Analysis
from preview.areas.marks.model import Mark, Spot
from preview.errors import Fault

# Reference mm that a place may lie off the surface; an image lies less well.
OFF_MM = 0.6
OFF_MIRRORED_MM = 1.5


@dataclass(frozen=True, eq=False)
class Placed:
    """A place on the surface: its face, mm, and outward normal."""

    face: int
    at: NDArray[np.float64]
    normal: NDArray[np.float64]


def placed(
    analysis: Analysis, spot: Spot, where: str, off: float, faults: list[Fault]
) -> Placed | None:
    """A spot on the surface; a fault when there is none within `off` reference mm."""
    if spot.at is None:
        faults.append(Fault("a pixel has no place without the sheet's picture", where))
        return None
    normal = None if spot.normal is None else np.array(spot.normal)
    hit = analysis.places.nearest(np.array(spot.at), normal)
    most = off / analysis.metric.scale
    if hit.distance_mm > most:
        faults.append(
            Fault(
                f"this mark lies {hit.distance_mm:.2f} mm off the surface (at most {most:.2f} mm)",
                where,
                "the nearest place is [" + ", ".join(f"{v:.2f}" for v in hit.at) + "]",
            )
        )
        return None
    return Placed(hit.face, hit.at, analysis.surface.normal[hit.face])


def told_apart(mark: Mark) -> list[tuple[Spot, str]]:
    """The places of a mark, and where each stands for messages."""
    if len(mark.spots) == 1:
        return [(mark.spots[0], mark.where)]
    return [(spot, f"{mark.where}, place {k}") for k, spot in enumerate(mark.spots, start=1)]


def with_image(mark: Mark, mirror_x: float) -> list[Mark]:
    """The mark and its mirror image; a mark without places has none."""
    if not mark.spots:
        return [mark]
    return [mark, replace(mark, spots=tuple(mirrored(spot, mirror_x) for spot in mark.spots))]


def mirrored(spot: Spot, mirror_x: float) -> Spot:
    """The place on the other side of the plane of symmetry."""
    if spot.at is None:
        return spot
    x, y, z = spot.at
    normal = None if spot.normal is None else (-spot.normal[0], spot.normal[1], spot.normal[2])
    return Spot((2 * mirror_x - x, y, z), normal)
