"""Painted light, baked: raw terms per face that depend on sculpt and rig alone."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Levels = NDArray[np.float32]


@dataclass(frozen=True)
class Rig:
    """Where painted light comes from, and how much each term weighs.

    sky, key : weights >= 0 of the two lights; the lit term is their weighted mean.
    key_azimuth_deg : 0 is the front (-Y), 90 the figure's left (+X).
    key_elevation_deg : above the horizon, in (-90, 90].
    recess, edge : how much recesses are darkened and raised edges lightened, >= 0.
    relief_mm : the scale of recess and edge, on the figure.
    spread : in [0, 1]; 0 leaves the term as it is, 1 lets every area show its whole ramp.
    """

    name: str
    sky: float = 1.0
    key: float = 0.0
    key_azimuth_deg: float = 30.0
    key_elevation_deg: float = 55.0
    recess: float = 0.0
    edge: float = 0.0
    relief_mm: float = 0.35
    spread: float = 0.0


@dataclass(frozen=True, eq=False)
class LightMap:
    """Raw terms per face: all (faces,) float32 in [0, 1].

    sky : share of the upper world hemisphere's light, (1/pi) * integral of V cos+.
    key : cos+ to the key direction, 0 in its shadow.
    recess : 0 on open surface, 1 in the deepest crevice.
    edge : 0 on plain surface, 1 on the sharpest raised edge.
    """

    sky: Levels
    key: Levels
    recess: Levels
    edge: Levels
