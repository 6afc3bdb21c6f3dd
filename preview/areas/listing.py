"""What there is to say about a sculpt's areas, as plain values for JSON and tables."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from preview.areas.sculpt import Sculpt


@dataclass(frozen=True)
class Area:
    """One area.

    faces : how many faces it has, hidden ones included.
    hidden_faces : how many of them no direction sees.
    mm2 : mm², the size of those that can be seen.
    share : unitless, [0, 1], of all that can be seen; 0 when nothing can.
    """

    name: str
    faces: int
    hidden_faces: int
    mm2: float
    share: float


def areas_of(sculpt: Sculpt) -> tuple[Area, ...]:
    """Every area of a sculpt, in the order of its numbers; hidden faces count in no size."""
    count = len(sculpt.area_names)
    faces = np.bincount(sculpt.area, minlength=count)
    seen = np.bincount(sculpt.area[sculpt.exposed], minlength=count)
    size = np.where(sculpt.exposed, sculpt.mm2.astype(np.float64), 0.0)
    mm2 = np.bincount(sculpt.area, size, count)
    whole = float(mm2.sum()) or 1.0
    return tuple(
        Area(
            name,
            int(faces[k]),
            int(faces[k] - seen[k]),
            round(float(mm2[k]), 4),
            round(float(mm2[k]) / whole, 6),
        )
        for k, name in enumerate(sculpt.area_names)
    )


def listing(sculpt: Sculpt) -> dict[str, Any]:
    """All that `fourpot areas` tells about a sculpt, ready for JSON.

    Parameters
    ----------
    sculpt : as loaded.

    Returns
    -------
    dict
        areas (name, faces, hidden_faces, mm2, share), repaired, warnings, areas_from, height_mm,
        unit, mm_per_unit, up, turn_deg, placed, faces, hidden_faces, mm2.
    """
    areas = areas_of(sculpt)
    placement = sculpt.placement
    return {
        "name": sculpt.name,
        "areas": [asdict(area) for area in areas],
        "areas_from": sculpt.areas_from,
        "repaired": list(sculpt.repairs),
        "warnings": list(sculpt.warnings),
        "height_mm": round(placement.height_mm, 4),
        "unit": placement.unit,
        "mm_per_unit": placement.mm_per_unit,
        "up": placement.up,
        "turn_deg": placement.turn_deg,
        "placed": placement.why,
        "faces": len(sculpt.faces),
        "hidden_faces": int((~sculpt.exposed).sum()),
        "mm2": round(sum(area.mm2 for area in areas), 4),
    }
