"""What every ratio of very many sets of paints looks like, at once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from preview.mix.recipes import constants_of
from preview.mix.two_constant_duncan_1940 import mix_recipes, reflectance_of_mixes
from preview.optics.appearance import lab_from_reflectance
from preview.optics.spectrum import BANDS, Floats
from preview.rack.paint import Paint

# So many numbers are worked on together; more would only fill memory.
_AT_ONCE = 2_000_000


def lab_of_sets(paints: Sequence[Paint], sets: NDArray[np.int64], drops: ArrayLike) -> Floats:
    """CIELAB of every ratio of every set of paints.

    Parameters
    ----------
    paints : at least one.
    sets : (sets, members) int, index into `paints`; pairs, say.
    drops : (recipes, members) >= 0, at least one above 0 in each recipe.

    Returns
    -------
    (sets, recipes, 3) CIELAB under D65, 2 degrees.
    """
    recipes = np.asarray(drops, dtype=np.float64)
    lab = np.empty((len(sets), len(recipes), 3))
    absorption, scattering, surface = constants_of(paints)
    step = max(1, _AT_ONCE // (BANDS * len(recipes)))
    for start in range(0, len(sets), step):
        some = sets[start : start + step]
        made = mix_recipes(absorption[some], scattering[some], surface[some], recipes)
        lab[start : start + step] = lab_from_reflectance(reflectance_of_mixes(*made))
    return lab


def chroma_of(lab: Floats) -> Floats:
    """(...,) C*ab of (..., 3) CIELAB."""
    return np.asarray(np.hypot(lab[..., 1], lab[..., 2]))


def ratios_with_all(ratios: NDArray[np.int64]) -> NDArray[np.int64]:
    """Those (recipes, members) ratios that have at least a drop of each."""
    return np.asarray(ratios[ratios.min(axis=1) > 0], dtype=np.int64)
