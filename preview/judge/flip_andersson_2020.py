"""How different two pictures look when one flips between them at a distance."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


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
    error, _, _ = flip_evaluator.evaluate(
        np.ascontiguousarray(before, np.float32),
        np.ascontiguousarray(after, np.float32),
        "LDR",
        inputsRGB=True,
        applyMagma=False,
        computeMeanError=True,
        parameters={"ppd": float(pixels_per_degree)},
    )
    seen = np.asarray(error, np.float32)[..., 0]
    chosen = seen if within is None else seen[within]
    return Flip(seen, float(chosen.mean()) if chosen.size else 0.0)
