"""What every ratio of very many sets of paints looks like, at once."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from preview.mix.two_constant_duncan_1940 import mix_recipes, reflectance_of_mixes
from preview.optics.appearance import lab_from_reflectance
from preview.optics.spectrum import Floats
from preview.shape.threads import chunks

# So many mixes are worked on together: few enough for the processor's cache.
_AT_ONCE = 4096


def lab_of_sets(
    absorption: Floats, scattering: Floats, surface: Floats, sets: ArrayLike, drops: ArrayLike
) -> Floats:
    """CIELAB of every ratio of every set of paints.

    Parameters
    ----------
    absorption, scattering : (paints, bands) K and S of each paint.
    surface : (paints, 2) Saunderson's k1 and k2 of each paint.
    sets : (sets, members) indices of paints; pairs, say.
    drops : (recipes, members) >= 0, at least one above 0 in each recipe; there may be no recipe.

    Returns
    -------
    (sets, recipes, 3) CIELAB under D65, 2 degrees.
    """
    members, recipes = np.asarray(sets), np.asarray(drops, dtype=np.float64)
    lab = np.empty((len(members), len(recipes), 3))
    for part in chunks(len(members), max(1, _AT_ONCE // max(len(recipes), 1))):
        some = members[part]
        made = mix_recipes(absorption[some], scattering[some], surface[some], recipes)
        lab[part] = lab_from_reflectance(reflectance_of_mixes(*made))
    return lab
