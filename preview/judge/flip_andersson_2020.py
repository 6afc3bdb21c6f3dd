"""How different two pictures look when one flips between them at a distance."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

# How far a pixel changes its surroundings at most: three standard deviations of the widest filter,
# 3 · sqrt(0.04 / (2 pi²)) degrees, rounded up; 0.04 is the paper's, from memory.
_REACH_DEG = 0.14


@dataclass(frozen=True, eq=False)
class Flip:
    """Differences between two pictures.

    error : (rows, columns) float32 in [0, 1], 0 where nothing is seen.
    mean : over the pixels asked for.
    """

    error: NDArray[np.float32]
    mean: float


def flip_between(
    before: NDArray[np.floating],
    after: NDArray[np.floating],
    pixels_per_degree: float,
    within: NDArray[np.bool_] | None = None,
) -> Flip:
    """FLIP's map of the differences that are seen between two pictures.

    Parameters
    ----------
    before, after : (rows, columns, 3) sRGB in [0, 1], encoded, floats.
    pixels_per_degree : of the pictures as they are seen, > 0.
    within : (rows, columns) pixels over which the mean is taken; all when left out.

    Raises
    ------
    ValueError : the pictures differ in shape, or are not floats; bytes would compare as equal.

    References
    ----------
    Andersson et al. (2020), "FLIP: A difference evaluator for alternating images", Proceedings of
    the ACM on Computer Graphics and Interactive Techniques 3 (2), by the authors' own package.
    """
    import flip_evaluator

    if before.shape != after.shape or before.ndim != 3 or before.shape[2] != 3:
        raise ValueError(f"pictures of shape {before.shape} and {after.shape} do not compare")
    if not (np.issubdtype(before.dtype, np.floating) and np.issubdtype(after.dtype, np.floating)):
        raise ValueError("pictures must be floats in [0, 1]")
    seen = np.zeros(before.shape[:2], np.float32)
    part = _where_they_differ(before, after, 2 * math.ceil(_REACH_DEG * pixels_per_degree))
    error, _, _ = flip_evaluator.evaluate(
        np.ascontiguousarray(before[part], np.float32),
        np.ascontiguousarray(after[part], np.float32),
        "LDR",
        inputsRGB=True,
        applyMagma=False,
        computeMeanError=True,
        parameters={"ppd": float(pixels_per_degree)},
    )
    seen[part] = np.asarray(error, np.float32)[..., 0]
    chosen = seen if within is None else seen[within]
    return Flip(seen, float(chosen.mean()) if chosen.size else 0.0)


def _where_they_differ(
    before: NDArray[np.floating], after: NDArray[np.floating], margin: int
) -> tuple[slice, slice]:
    """The rows and columns that hold every difference, and so many pixels around them.

    Pixels further away look alike in both, so most of a plain ground need not be compared.
    """
    differs = (before != after).any(axis=2)
    row, column = (slice(0, 1), slice(0, 1))
    if differs.any():
        rows, columns = np.nonzero(differs.any(axis=1))[0], np.nonzero(differs.any(axis=0))[0]
        row = slice(max(rows[0] - margin, 0), rows[-1] + margin + 1)
        column = slice(max(columns[0] - margin, 0), columns[-1] + margin + 1)
    return row, column
