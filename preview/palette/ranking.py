"""By what mixes are ranked against a wanted colour: near ones by CIEDE2000, far ones by CIELAB."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from preview.optics.ciede2000 import ciede2000
from preview.optics.spectrum import Floats

# Farther than this the colour counts as not reached; a proposal, no standard. It is also where the
# reference conditions of CIEDE2000 end.
FAR = 5.0


def rank_of(lab: ArrayLike, wanted: ArrayLike) -> Floats:
    """How a colour ranks against a wanted one: its CIEDE2000 up to FAR, else FAR + CIE 1976 ΔE*ab.

    Parameters
    ----------
    lab : (..., 3) CIELAB.
    wanted : (3,) CIELAB.

    Returns
    -------
    (...,) smaller is nearer; all that reach the wanted colour come before all that do not.

    Notes
    -----
    CIEDE2000 is meant for small differences. Far from there its rotation term makes a dull teal
    "nearer" to magenta (15) than any pink.

    References
    ----------
    Melgosa 2013, as colour-science 0.4.7 quotes the reference conditions of CIEDE2000 in its
    documentation: differences under 5. ΔE*ab: CIE 15:2018.
    """
    near = ciede2000(lab, wanted)
    return np.where(near <= FAR, near, FAR + cielab_distance(lab, wanted))


def cielab_distance(lab: ArrayLike, wanted: ArrayLike) -> Floats:
    """(...,) CIE 1976 ΔE*ab of (..., 3) CIELAB from (3,)."""
    return np.asarray(np.linalg.norm(np.asarray(lab) - np.asarray(wanted), axis=-1))
