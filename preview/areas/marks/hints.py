"""What a mesh has that makes areas go wrong, and what to do about it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.shape.neighbours import joined, neighbours_of, shells_of

_MANY_SHELLS = 300
_SLICES = (0.05, 0.09)
_THIN = 0.03
_MANY_COLUMNS = 8


def hints_of(sculpt: Sculpt) -> tuple[str, ...]:
    """One sentence for each thing worth knowing before areas are marked.

    Parameters
    ----------
    sculpt : the figure.

    Notes
    -----
    Leaves out: supports are guessed from thin round columns just above the plate, so a base of
    grass or a fence looks the same.
    """
    pairs = neighbours_of(sculpt.faces)
    shells, _ = shells_of(len(sculpt.faces), pairs)
    found = []
    if len(pairs.open_face):
        found.append(
            f"the surface is open along {len(pairs.open_face):,} edges; no area crosses a gap, so "
            "mark both sides, or export the figure closed"
        )
    if shells >= _MANY_SHELLS:
        found.append(
            f"the figure has {shells:,} separate shells; those without a mark take the areas of a "
            "shell of their shape, else what they touch most; shell = [...] marks whole ones"
        )
    columns = min(_thin_columns(sculpt, share) for share in _SLICES)
    if columns >= _MANY_COLUMNS:
        found.append(
            f"{columns} thin columns stand just above the plate and look like supports; take the "
            "file without supports, or give them an area of their own"
        )
    return tuple(found)


def _thin_columns(sculpt: Sculpt, share: float) -> int:
    """How many thin closed outlines a cut at a share of the figure's height has."""
    size = np.ptp(sculpt.vertices, axis=0)
    height = float(sculpt.vertices[:, 2].min() + share * size[2])
    z = sculpt.vertices[:, 2][sculpt.faces]
    cut = np.flatnonzero((z.min(axis=1) < height) & (z.max(axis=1) >= height))
    if not len(cut):
        return 0
    pairs = neighbours_of(sculpt.faces[cut])
    crossing = _crosses(sculpt, pairs.ends, height)
    count, outline = joined(len(cut), pairs.left[crossing], pairs.right[crossing])
    xy = sculpt.vertices[sculpt.faces[cut]][:, :, :2]
    low, high = np.full((count, 2), np.inf), np.full((count, 2), -np.inf)
    np.minimum.at(low, outline, xy.min(axis=1))
    np.maximum.at(high, outline, xy.max(axis=1))
    most = _THIN * float(np.linalg.norm(size))
    return int(((high - low).max(axis=1) < most).sum())


def _crosses(sculpt: Sculpt, ends: NDArray[np.int32], height: float) -> NDArray[np.bool_]:
    """Which edges pass through a height."""
    z = sculpt.vertices[:, 2][ends] >= height
    return np.asarray(z[:, 0] != z[:, 1], dtype=np.bool_)
