"""Colours for parts of a figure, so that parts side by side differ in lightness as well."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.optics.appearance import linear_srgb_from_lab
from preview.render.seen import Seen

Floats = NDArray[np.float64]

LIGHTNESS = (90.0, 76.0, 62.0, 48.0, 34.0)
_CHROMA = 34.0
# The golden angle keeps hues apart however many there are.
_HUE_STEP_DEG = 137.508
_HUES_TRIED, _HUES_APART_DEG, _LIKE_APART_DEG = 24, 50.0, 24.0


def lightness_steps(beside: Floats) -> NDArray[np.int64]:
    """A step of lightness for each part, other than those of all parts beside it if possible.

    The part whose neighbours already use most steps comes first, as Brélaz colours graphs; it
    takes the free step that fewest parts have, or else that of the shortest border.

    Parameters
    ----------
    beside : (parts, parts) symmetric, how long two parts run side by side; 0 where they don't.

    Returns
    -------
    step : (parts,) int, index into LIGHTNESS.

    References
    ----------
    Brélaz (1979), "New methods to color the vertices of a graph", Communications of the ACM 22;
    from memory.
    """
    count, levels = len(beside), len(LIGHTNESS)
    step = np.full(count, -1)
    near = np.zeros((count, levels))
    for _ in range(count):
        crowd = (near > 0).sum(axis=1) + beside.sum(axis=1) / (1.0 + beside.sum())
        part = int(np.argmax(np.where(step < 0, crowd, -1.0)))
        used = np.bincount(step[step >= 0], minlength=levels)
        step[part] = int(np.lexsort((np.arange(levels), used, near[part]))[0])
        near[:, step[part]] += beside[part]
    return step


def tints_of(step: NDArray[np.int64], beside: Floats) -> NDArray[np.float32]:
    """(parts, 3) float32 linear sRGB: each part's lightness, and a hue unlike its neighbours'.

    Two parts of one lightness differ in hue even where they do not meet.

    Parameters
    ----------
    step : (parts,) int, index into LIGHTNESS.
    beside : (parts, parts) symmetric, how long two parts run side by side; 0 where they don't.
    """
    angle = np.radians(_hues_deg(step, beside))
    lightness = np.array(LIGHTNESS)[step]
    lab = np.stack([lightness, _CHROMA * np.cos(angle), _CHROMA * np.sin(angle)], axis=1)
    return np.asarray(np.clip(linear_srgb_from_lab(lab), 0.0, 1.0), dtype=np.float32)


def _hues_deg(step: NDArray[np.int64], beside: Floats) -> Floats:
    """(parts,): each part takes the next hue that stands off those of parts beside it."""
    count = len(beside)
    hue = np.zeros(count)
    for part in range(count):
        tried = (part + np.arange(_HUES_TRIED)) * _HUE_STEP_DEG
        gap = np.abs((tried[:, None] - hue[:part] + 180.0) % 360.0 - 180.0)
        near = gap[:, beside[part, :part] > 0].min(axis=1, initial=180.0)
        like = gap[:, step[:part] == step[part]].min(axis=1, initial=180.0)
        apart = np.minimum(near / _HUES_APART_DEG, like / _LIKE_APART_DEG)
        hue[part] = tried[int(np.argmax(np.minimum(apart, 1.0)))]
    return hue


def side_by_side(shown: list[NDArray[np.int32]], count: int) -> Floats:
    """(parts, parts): along how many pixels two parts meet in pictures of part numbers."""
    beside = np.zeros((count, count))
    for picture in shown:
        for one, other in (
            (picture[1:], picture[:-1]),
            (picture[:, 1:], picture[:, :-1]),
        ):
            meet = (one != other) & (one >= 0) & (other >= 0)
            np.add.at(beside, (one[meet], other[meet]), 1.0)
    return beside + beside.T


def part_picture(seen: Seen, part_of_face: NDArray[np.int32]) -> NDArray[np.int32]:
    """(height, width) int32: the part that each pixel shows, -1 where it shows none."""
    shown = np.full(seen.view.width * seen.view.height, -1, dtype=np.int32)
    shown[seen.pixel] = part_of_face[seen.face]
    return shown.reshape(seen.view.height, seen.view.width)
