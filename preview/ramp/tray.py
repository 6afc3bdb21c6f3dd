"""A few pots on a tray: what every small whole-drop mix of them looks like."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from preview.mix.ratios import distinct_ratios
from preview.mix.recipes import constants_of
from preview.mix.two_constant_duncan_1940 import mix_recipes, reflectance_of_mixes
from preview.optics.appearance import lab_from_reflectance
from preview.optics.spectrum import Floats
from preview.rack.paint import Rack
from preview.ramp.words import Role

MOST_DROPS = 8


@dataclass(frozen=True, eq=False)
class Tray:
    """Pots by role; drops stand in the order of the roles.

    rack, pots : where the paint of each role comes from.
    """

    rack: Rack
    pots: Mapping[Role, str]

    @property
    def roles(self) -> tuple[Role, ...]:
        """The roles, in the order of the drops."""
        return tuple(self.pots)

    def lab(self, drops: ArrayLike) -> Floats:
        """(..., 3) CIELAB of (..., roles) drops, also parts of drops."""
        absorption, scattering, surface = mix_recipes(*self._constants, drops)
        return lab_from_reflectance(reflectance_of_mixes(absorption, scattering, surface))

    @cached_property
    def recipes(self) -> NDArray[np.int64]:
        """(recipes, roles): every ratio of at most MOST_DROPS drops, once, in lowest terms."""
        return distinct_ratios(len(self.roles), MOST_DROPS)

    @cached_property
    def recipe_lab(self) -> Floats:
        """(recipes, 3) CIELAB of `recipes`."""
        return self.lab(self.recipes)

    def unit(self, role: Role) -> Floats:
        """(roles,): one drop of one pot."""
        return np.asarray(np.eye(len(self.roles))[self.roles.index(role)])

    @cached_property
    def _constants(self) -> tuple[Floats, Floats, Floats]:
        """K, S and surface of the pots."""
        return constants_of([self.rack.paints[name] for name in self.pots.values()])
