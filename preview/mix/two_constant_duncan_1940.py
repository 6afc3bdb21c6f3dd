"""What a mixture absorbs and scatters: the sums of its parts, each by its share."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from preview.mix.kubelka_munk_1931 import reflectance_from_ratio
from preview.mix.saunderson_1942 import outer_from_inner
from preview.optics.spectrum import Floats


def mix_recipes(
    absorption: ArrayLike, scattering: ArrayLike, surface: ArrayLike, drops: ArrayLike
) -> tuple[Floats, Floats, Floats]:
    """K, S and surface of one recipe or of very many, by the two-constant theory.

    Each is the mean of the paints', weighted by their drops.

    Parameters
    ----------
    absorption, scattering : (..., paints, bands) K and S of each paint; of many sets of paints
        at once, too.
    surface : (..., paints, 2) Saunderson's k1 and k2 of each paint.
    drops : (..., paints) >= 0, at least one above 0 in each recipe. Sets (sets, paints, bands)
        and (recipes, paints) drops give (sets, recipes, bands), as matrices multiply.

    Returns
    -------
    absorption, scattering : (..., bands), or (sets, recipes, bands).
    surface : (..., 2), or (sets, recipes, 2).

    Notes
    -----
    Holds exactly: a paint with itself is itself; order and scale of the drops do not matter.
    Leaves out: pigments that flock or float, and the binder's own colour.

    References
    ----------
    Duncan 1940, Proceedings of the Physical Society 52:390 (from memory).
    """
    amounts = np.asarray(drops, dtype=np.float64)
    share = amounts / amounts.sum(axis=-1, keepdims=True)
    return (
        np.asarray(share @ np.asarray(absorption, dtype=np.float64)),
        np.asarray(share @ np.asarray(scattering, dtype=np.float64)),
        np.asarray(share @ np.asarray(surface, dtype=np.float64)),
    )


def reflectance_of_mixes(absorption: Floats, scattering: Floats, surface: Floats) -> Floats:
    """(..., bands) reflectance outside, of hiding layers with the K, S and surface given."""
    inner = reflectance_from_ratio(absorption / scattering)
    return outer_from_inner(inner, surface[..., :1], surface[..., 1:])
