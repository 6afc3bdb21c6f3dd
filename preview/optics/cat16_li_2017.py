"""How a colour looks to an eye that has got used to another lamp: the CAT16 adaptation."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from preview.optics.spectrum import Floats

# Li et al. 2017, the matrix M16 (from memory; the tests check it against colour-science).
M16: Floats = np.array(
    [
        [0.401288, 0.650173, -0.051461],
        [-0.250268, 1.204414, 0.045854],
        [-0.002079, 0.048952, 0.953127],
    ]
)


def adaptation_matrix(from_white: ArrayLike, to_white: ArrayLike) -> Floats:
    """The matrix that takes tristimulus values from one white to another, fully adapted (CAT16).

    Parameters
    ----------
    from_white, to_white : (3,) tristimulus values of the two whites, Y = 1.

    Returns
    -------
    (3, 3); `matrix @ xyz` is the corresponding colour.

    Notes
    -----
    Holds exactly: white goes to white; the same white twice leaves every colour as it is.
    Leaves out: incomplete adaptation under dim or strongly coloured light (D = 1).

    References
    ----------
    Li, Li, Wang, Xu, Luo, Cui, Melgosa, Brill & Pointer 2017, Comprehensive color solutions:
    CAM16, CAT16, and CAM16-UCS, Color Research & Application 42(6) (from memory).
    """
    source = M16 @ np.asarray(from_white, dtype=np.float64)
    target = M16 @ np.asarray(to_white, dtype=np.float64)
    return np.asarray(np.linalg.solve(M16, (target / source)[:, None] * M16))
