"""A mix: what it absorbs and scatters, so that it can be mixed on, thinned or laid in coats."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from preview.mix.coats import COAT_THICKNESS, coats_to_hide_card, coats_to_hide_ground
from preview.mix.film import film_over_ground
from preview.mix.saunderson_1942 import inner_from_outer, outer_from_inner
from preview.mix.two_constant_duncan_1940 import reflectance_of_mixes
from preview.optics.appearance import (
    hex_from_reflectance,
    lab_from_reflectance,
    xyz_from_reflectance,
)
from preview.optics.spectrum import Floats
from preview.rack.paint import Certainty


@dataclass(frozen=True, eq=False)
class Mix:
    """Paint mixed in drops.

    absorption, scattering : (31,) Kubelka-Munk K and S, unitless, relative to white S = 1.
    surface_k1, surface_k2 : Saunderson constants of the outer surface.
    recipe : paint name -> whole drops, in lowest terms; empty for a mix that is no recipe
        (the blend between two steps).
    certainty : measured for a pot alone that was measured, else calibrated when every paint in
        it was calibrated, else estimate.
    calibrated : whether every paint in it was calibrated.
    """

    absorption: Floats
    scattering: Floats
    surface_k1: float
    surface_k2: float
    recipe: Mapping[str, int]
    certainty: Certainty
    calibrated: bool = False

    @cached_property
    def reflectance(self) -> Floats:
        """(31,) unitless in (0, 1]: of a layer that hides, outside."""
        surface = np.array([self.surface_k1, self.surface_k2])
        return reflectance_of_mixes(self.absorption, self.scattering, surface)

    @cached_property
    def xyz(self) -> Floats:
        """(3,) tristimulus values under D65, 2 degrees, white Y = 1."""
        return xyz_from_reflectance(self.reflectance)

    @cached_property
    def lab(self) -> Floats:
        """(3,) CIELAB under D65, 2 degrees."""
        return lab_from_reflectance(self.reflectance)

    @cached_property
    def srgb(self) -> str:
        """ "#rrggbb" under D65, clipped to the gamut of sRGB."""
        return hex_from_reflectance(self.reflectance)

    def over(self, ground: ArrayLike, coats: ArrayLike) -> Floats:
        """What one sees when the mix lies in coats over a ground.

        Parameters
        ----------
        ground : (..., 31) reflectance of the ground, as seen uncovered, in [0, 1].
        coats : scalar, or a shape that broadcasts with (..., 1); >= 0, parts of a coat too.

        Returns
        -------
        (..., 31) reflectance outside, in [0, 1].

        Notes
        -----
        Holds exactly: no coat leaves the ground (if no darker than the surface's mirror);
        many coats give `reflectance`.
        The thickness of a coat is `preview.mix.coats.COAT_THICKNESS`.
        """
        return outer_from_inner(
            film_over_ground(
                self.absorption,
                self.scattering,
                self._ground_inside(ground),
                np.asarray(coats, dtype=np.float64) * COAT_THICKNESS,
            ),
            self.surface_k1,
            self.surface_k2,
        )

    def coats_to_hide(self, ground: ArrayLike | None = None) -> int | None:
        """How many brushed coats it takes until the ground no longer shows.

        Parameters
        ----------
        ground : (31,) reflectance of the ground; None for the black-and-white card of the
            hiding standards (contrast ratio Y over black / Y over white of 0.98).

        Returns
        -------
        Whole coats, 0 when it does not differ from the ground; None when
        `preview.mix.coats.MOST_COATS` do not suffice.
        """
        if ground is None:
            return coats_to_hide_card(self.over)
        return coats_to_hide_ground(self.over, np.asarray(ground, dtype=np.float64))

    def thinned(self, share: float) -> Mix:
        """The mix with clear medium in it: the same colour once it hides, less in each coat.

        Parameters
        ----------
        share : paint in the thinned paint, by volume once dry, in (0, 1].
        """
        return replace(self, absorption=self.absorption * share, scattering=self.scattering * share)

    def _ground_inside(self, ground: ArrayLike) -> Floats:
        """The ground's reflectance as met from inside the paint."""
        inside = inner_from_outer(ground, self.surface_k1, self.surface_k2)
        return np.clip(inside, 0.0, 1.0)
