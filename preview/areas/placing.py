"""From the file's unit and axes to millimetres, Z up, standing on z = 0."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.facing import area_vectors, lengths
from preview.areas.sculpt import Placement
from preview.errors import MeshFault, UsageError, choices_fix
from preview.settings import FIGURE_MM, MM_PER_UNIT, TURN, UP_AXES
from preview.shape.bounds import bounds

SPELLINGS = {
    "millimeter": "mm", "millimetre": "mm", "centimeter": "cm", "centimetre": "cm", "in": "inch",
    "ft": "foot", "m": "metre", "meter": "metre", "um": "micron", "micrometre": "micron",
}  # fmt: skip
PLAUSIBLE_MM = (15.0, 150.0)

# For each axis that may be up: where new x, y, z come from, and their signs; no turn mirrors.
_TURNS: dict[str, tuple[tuple[int, int, int], tuple[int, int, int]]] = {
    "z": ((0, 1, 2), (1, 1, 1)),
    "-z": ((0, 1, 2), (1, -1, -1)),
    "y": ((0, 2, 1), (1, -1, 1)),
    "-y": ((0, 2, 1), (1, 1, -1)),
    "x": ((1, 2, 0), (1, 1, 1)),
    "-x": ((1, 2, 0), (1, -1, -1)),
}
_BASE_LEAST, _BASE_CLEAR = 0.005, 2.0
_BASE_DEPTH, _BASE_TILT = 0.004, 0.98
_COARSE_MM = 0.005


@dataclass(frozen=True)
class Wish:
    """What the user says about unit, axis and height; "" and None leave it to the file.

    turn_deg : about the vertical, counter-clockwise seen from above.
    """

    unit: str = ""
    up: str = ""
    figure_mm: float | None = None
    turn_deg: float = 0.0


def checked_wish(
    unit: str | None, up: str | None, figure_mm: float | None, turn_deg: float = 0.0
) -> Wish:
    """The user's words, checked; raises UsageError."""
    known_unit = SPELLINGS.get((unit or "").lower(), (unit or "").lower())
    known_up = (up or "").lower().removeprefix("+")
    if known_unit and known_unit not in MM_PER_UNIT:
        raise UsageError(f'unknown unit "{unit}"', "--unit", choices_fix(known_unit, MM_PER_UNIT))
    if known_up and known_up not in UP_AXES:
        raise UsageError(f'unknown axis "{up}"', "--up", "valid: " + ", ".join(UP_AXES))
    if figure_mm is not None:
        FIGURE_MM.check(figure_mm)
    TURN.check(turn_deg)
    if known_unit and figure_mm is not None:
        raise UsageError(
            "unit and height of the figure were both given", "--unit, --figure-mm", "give one"
        )
    return Wish(known_unit, known_up, figure_mm, turn_deg)


def place(
    vertices: NDArray[np.floating],
    faces: NDArray[np.integer],
    wish: Wish,
    unit: str,
    up: str,
) -> tuple[NDArray[np.float64], Placement]:
    """Turn, scale and set down a mesh.

    A height of 15 to 150 is taken as millimetres; anything else is scaled to a 32 mm figure.

    Parameters
    ----------
    vertices : (vertices, 3) float, the file's unit; all of them used by faces.
    faces : (faces, 3) int.
    wish : what the user says, which prevails.
    unit, up : what the file or its format says, "" for nothing.

    Returns
    -------
    placed : (vertices, 3) float64, mm, Z up, centred in x and y, lowest point at z = 0.
    placement : how that was done, and why.

    Raises
    ------
    MeshFault : the mesh has no extent.
    """
    low, high = (end.astype(np.float64) for end in bounds(vertices))
    centred = vertices.astype(np.float64) - (low + high) / 2
    size = high - low
    if not size.max() > 0:
        raise MeshFault("all points of the mesh are one point", "", "export the figure again")
    stated = SPELLINGS.get(unit, unit)
    axis, axis_why = _up_axis(centred, faces, size, wish.up, up, MM_PER_UNIT.get(stated, 1.0))
    height = float(size["xyz".index(axis[-1])])
    lying = height < 1e-6 * size.max()
    reach = float(size.max()) if lying else height
    scale, name, unit_why = _scale(reach, wish, stated)
    placed = turned(centred, axis) * scale
    placed[:, 2] -= placed[:, 2].min()
    if wish.turn_deg:
        placed = _turned_about_vertical(placed, wish.turn_deg)
    step_mm = float(np.spacing(np.float32(max(np.abs(low).max(), np.abs(high).max())))) * scale
    why = f"{unit_why}; {axis_why}"
    if wish.turn_deg:
        why += f"; turned by {wish.turn_deg:g}° as asked"
    if vertices.dtype == np.float32 and step_mm > _COARSE_MM:
        why += f"; far from its origin the file tells places apart by {step_mm:.2g} mm only"
    return placed, Placement(scale, name, axis, why, height * scale, wish.turn_deg)


def turned(vertices: NDArray[np.float64], up: str) -> NDArray[np.float64]:
    """Vertices with the axis `up`, one of UP_AXES, turned to Z; a turn, never a mirror."""
    source, sign = _TURNS[up]
    return vertices[:, source] * np.array(sign, dtype=np.float64)


def _turned_about_vertical(placed: NDArray[np.float64], degrees: float) -> NDArray[np.float64]:
    """Placed vertices turned counter-clockwise seen from above, and centred in x and y again."""
    # Sines of right angles are not quite 0; without rounding a half turn would blur the mesh.
    c, s = np.round([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))], 15)
    x, y = placed[:, 0], placed[:, 1]
    found = np.column_stack([c * x - s * y, s * x + c * y, placed[:, 2]])
    middle = (found[:, :2].min(axis=0) + found[:, :2].max(axis=0)) / 2
    found[:, :2] -= middle
    return found


def _scale(reach: float, wish: Wish, stated: str) -> tuple[float, str, str]:
    """mm per unit, the unit's name, and why."""
    low, high = PLAUSIBLE_MM
    if wish.figure_mm is not None:
        return (
            wish.figure_mm / reach,
            "scaled",
            f"scaled to a height of {wish.figure_mm:g} mm as asked",
        )
    if wish.unit:
        return MM_PER_UNIT[wish.unit], wish.unit, f"read as {wish.unit} as asked"
    if stated in MM_PER_UNIT and low <= reach * MM_PER_UNIT[stated] <= high:
        height = reach * MM_PER_UNIT[stated]
        return MM_PER_UNIT[stated], stated, f"the file is in {stated}: {height:.4g} mm high"
    if low <= reach <= high and stated in ("", "mm", "metre"):
        return 1.0, "mm", f"a height of {reach:.4g} was taken as mm"
    told = f"{reach:.4g} {stated}" if stated else f"{reach:.4g}"
    return (
        FIGURE_MM.default / reach,
        "scaled",
        f"a height of {told} is no figure's (15 to 150 mm), "
        f"so it was scaled to {FIGURE_MM.default:g} mm",
    )


def _up_axis(
    centred: NDArray[np.float64],
    faces: NDArray[np.integer],
    size: NDArray[np.float64],
    wished: str,
    stated: str,
    mm_per_unit: float,
) -> tuple[str, str]:
    """The axis that is up, and why.

    Asked for; said by the format; opposite a flat base; Z for a file of printing size; else the
    taller of Y and Z, since scans and game figures stand along Y.
    """
    if wished:
        return wished, f"{wished.upper()} is up as asked"
    if stated:
        return stated, f"{stated.upper()} is up in this format"
    shares = _base_shares(centred, faces, size)
    best = max(UP_AXES, key=lambda axis: shares[axis])
    others = [share for axis, share in shares.items() if axis != best]
    if shares[best] >= _BASE_LEAST and shares[best] >= _BASE_CLEAR * max(others):
        return best, f"{best.upper()} is up, for opposite it lies a flat base"
    if PLAUSIBLE_MM[0] <= size[2] * mm_per_unit <= PLAUSIBLE_MM[1]:
        return "z", "Z was taken as up, as is usual in files for printing"
    axis = "y" if size[1] > size[2] else "z"
    return axis, f"{axis.upper()} was taken as up, for the figure is longest that way"


def _base_shares(
    centred: NDArray[np.float64], faces: NDArray[np.integer], size: NDArray[np.float64]
) -> dict[str, float]:
    """For each axis, how much of the surface lies flat at its lower end; winding is ignored."""
    vector = area_vectors(centred, faces)
    area = lengths(vector)
    whole = float(area.sum()) or 1.0
    depth = _BASE_DEPTH * float(size.max())
    shares = {}
    for axis in UP_AXES:
        k, sign = "xyz".index(axis[-1]), -1.0 if axis.startswith("-") else 1.0
        bottom = -size[k] / 2 + depth
        flat = np.flatnonzero(np.abs(vector[:, k]) > _BASE_TILT * area)
        low = (sign * centred[faces[flat], k] < bottom).all(axis=1)
        shares[axis] = float(area[flat[low]].sum()) / whole
    return shares
