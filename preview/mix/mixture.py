"""A mix: what it absorbs and scatters, so that it can be mixed on, thinned or laid in coats."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from preview.optics.spectrum import Floats
from preview.rack.paint import Certainty


@dataclass(frozen=True, eq=False)
class Mix:
    """Paint mixed in drops.

    absorption, scattering : (31,) Kubelka-Munk K and S, unitless, relative to white S = 1.
    surface_k1, surface_k2 : Saunderson constants of the outer surface.
    recipe : paint name -> whole drops, in lowest terms; empty for a mix that is no recipe
        (the blend between two steps).
    """

    absorption: Floats
    scattering: Floats
    surface_k1: float
    surface_k2: float
    recipe: Mapping[str, int]
    certainty: Certainty
    # the engineer of mix/ adds: reflectance, lab, srgb (hex), xyz as cached properties;
    # over(ground_reflectance, coats) -> reflectance; coats_to_hide(ground); thinned(...)
