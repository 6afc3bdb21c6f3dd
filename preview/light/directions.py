"""Directions: evenly spread over the sky, and from the angles of a rig."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def sky_directions(count: int) -> NDArray[np.float64]:
    """Unit vectors evenly spread over the upper half of the sphere; (count, 3) float64.

    A Fibonacci lattice: equal steps in z, each turned by the golden angle from the one below.

    References
    ----------
    Keinert, Innmann, Sänger, Stamminger (2015), "Spherical Fibonacci mapping", ACM Transactions
    on Graphics 34 (6), equation 2, of which this is the upper half.
    """
    k = np.arange(count)
    z = (k + 0.5) / count
    turn = 2.0 * np.pi * np.mod(k * (np.sqrt(5.0) - 1.0) / 2.0, 1.0)
    radius = np.sqrt(1.0 - z * z)
    return np.stack([radius * np.cos(turn), radius * np.sin(turn), z], axis=1)


def direction_of(azimuth_deg: float, elevation_deg: float) -> NDArray[np.float64]:
    """The unit vector towards a light; azimuth 0 is the front (-Y), 90 the figure's left (+X)."""
    azimuth, elevation = np.radians(azimuth_deg), np.radians(elevation_deg)
    flat = np.cos(elevation)
    return np.array([np.sin(azimuth) * flat, -np.cos(azimuth) * flat, np.sin(elevation)])
