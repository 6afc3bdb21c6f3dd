"""Colours as eyes with a colour vision deficiency see them.

Machado et al. (2009) for red and green weakness of any severity, Brettel et al. (1997) for blue,
which a single matrix gets wrong.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from preview.optics.spectrum import Floats
from preview.settings import Deficiency

# Brettel, Vienot and Mollon (1997), tritanope, for linear sRGB, as worked out in a public-domain
# pre-computation: on either side of a plane another matrix holds.
_TRITAN_NORMAL = np.array([0.03960, -0.02831, -0.01129])
_TRITAN_SIDES = (
    np.array(
        [
            [1.01354, 0.14268, -0.15622],
            [-0.01181, 0.87561, 0.13619],
            [0.07707, 0.81208, 0.11085],
        ]
    ),
    np.array(
        [
            [0.93337, 0.19999, -0.13336],
            [0.05809, 0.82565, 0.11626],
            [-0.37923, 1.13825, 0.24098],
        ]
    ),
)


def linear_seen_with(linear: ArrayLike, deficiency: Deficiency, severity: float = 1.0) -> Floats:
    """What of a colour is left to eyes with a deficiency, as the linear sRGB that shows it.

    Its luminance is to be taken anew: red looks darker to protan eyes.

    Parameters
    ----------
    linear : (..., 3) linear sRGB.
    deficiency : "protan", "deutan" or "tritan".
    severity : in [0, 1]; 1 is a missing cone, 0 normal. Between tabulated tenths the matrices are
        interpolated; for tritan eyes the seen colour goes straight from normal to missing.

    Returns
    -------
    (..., 3) linear sRGB, not clipped.

    Notes
    -----
    Holds exactly: greys stay as they are (to the digits of the tables); severity 0 changes
    nothing. Leaves out: how people name colours that they have learnt to tell by lightness.

    References
    ----------
    Machado, Oliveira and Fernandes (2009), IEEE TVCG 15: 1291. Brettel, Vienot and Mollon (1997),
    JOSA A 14: 2647.
    """
    colours = np.asarray(linear, np.float64)
    if deficiency != "tritan":
        return np.asarray(colours @ machado_matrix(deficiency, severity).T)
    side = colours @ _TRITAN_NORMAL >= 0.0
    missing = np.where(side[..., None], colours @ _TRITAN_SIDES[0].T, colours @ _TRITAN_SIDES[1].T)
    return np.asarray(colours + severity * (missing - colours))


def machado_matrix(deficiency: Literal["protan", "deutan"], severity: float) -> Floats:
    """(3, 3): linear sRGB to what is left of it.

    Parameters
    ----------
    severity : in [0, 1].
    """
    table = _machado_tables()[0 if deficiency == "protan" else 1]
    low = min(int(severity * 10.0), 9)
    share = severity * 10.0 - low
    return np.asarray((1.0 - share) * table[low] + share * table[low + 1])


@cache
def _machado_tables() -> Floats:
    """(2, 11, 3, 3): protan and deutan by tenths of severity."""
    path = Path(__file__).parent / "tables" / "cvd-machado-2009.txt"
    rows = np.loadtxt(path, encoding="utf-8")
    return np.asarray(rows[:, 2:].reshape(2, 11, 3, 3))
