"""Paint in coats over a ground: how much of the ground shows, and when it no longer does."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from preview.optics.spectrum import Floats


def film_over_ground(
    absorption: ArrayLike, scattering: ArrayLike, ground: ArrayLike, thickness: ArrayLike
) -> Floats:
    """Reflectance of a paint film over a ground, inside the paint.

    Parameters
    ----------
    absorption : (...,) K >= 0.
    scattering : (...,) S > 0.
    ground : (...,) reflectance of the ground as seen from inside the paint, in [0, 1].
    thickness : (...,) >= 0, in the unit of 1/K and 1/S.

    Returns
    -------
    (...,) in [0, 1].

    Notes
    -----
    Holds exactly: no thickness gives the ground; two films on one another are one of the summed
    thickness; great thickness gives R∞.
    Leaves out: edges and pigment that settles.

    References
    ----------
    Kubelka 1948, Journal of the Optical Society of America 38:448.
    """
    K, S = np.asarray(absorption, dtype=np.float64), np.asarray(scattering, dtype=np.float64)
    Rg, X = np.asarray(ground, dtype=np.float64), np.asarray(thickness, dtype=np.float64)
    a = 1.0 + K / S
    # With u = b S X the film is [(1 - a Rg) sinh u + b Rg cosh u] / [(a - Rg) sinh u + b cosh u].
    # Divide by cosh u, and write tanh(u)/b so that K = 0 (b = 0) is its own limit, S X.
    b = np.sqrt((K / S) * (K / S + 2.0))
    u = b * S * X
    safe = np.where(b > 0.0, b, 1.0)
    t = np.where(u > 1e-6, np.tanh(u) / safe, S * X)
    return np.asarray(((1.0 - a * Rg) * t + Rg) / ((a - Rg) * t + 1.0))


def film_transmittance(
    absorption: ArrayLike, scattering: ArrayLike, thickness: ArrayLike
) -> Floats:
    """Diffuse transmittance of a free film, inside the paint; arguments as `film_over_ground`.

    References
    ----------
    Kubelka 1948, Journal of the Optical Society of America 38:448.
    """
    K, S = np.asarray(absorption, dtype=np.float64), np.asarray(scattering, dtype=np.float64)
    a = 1.0 + K / S
    b = np.sqrt((K / S) * (K / S + 2.0))
    u = b * S * np.asarray(thickness, dtype=np.float64)
    safe = np.where(b > 0.0, b, 1.0)
    t = np.where(u > 1e-6, np.tanh(u) / safe, S * np.asarray(thickness, dtype=np.float64))
    # T = b / (a sinh u + b cosh u), divided by cosh u
    return np.asarray(1.0 / (np.cosh(np.minimum(u, 700.0)) * (a * t + 1.0)))
