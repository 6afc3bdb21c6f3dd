"""Under which conditions a figure is judged."""

from __future__ import annotations

import math
from dataclasses import dataclass

from preview.errors import Fault, UsageError
from preview.settings import DISTANCE, LUX

SURROUND_Y = 0.2
"""Mid-grey table and wall: our convention."""


@dataclass(frozen=True)
class Conditions:
    """Distance, light and what surrounds the figure; judged as matt paint, no lamp's gloss.

    distance_m : from eye to figure, metres.
    lux : on the figure, lx.
    surround_y : luminance factor of what is behind the figure, in [0, 1]. The eye is taken as
        adapted to equal parts of figure and surround.

    Raises
    ------
    UsageError : when a value is outside its range or no number; tells all at once.
    """

    distance_m: float = DISTANCE.default
    lux: float = LUX.default
    surround_y: float = SURROUND_Y

    def __post_init__(self) -> None:
        faults: list[Fault] = []
        for setting, value in ((DISTANCE, self.distance_m), (LUX, self.lux)):
            try:
                setting.check(value)
            except UsageError as error:
                faults.extend(error.faults)
        if not 0.0 <= self.surround_y <= 1.0:
            what = f"the surround's luminance factor must be from 0 to 1, got {self.surround_y:g}"
            faults.append(Fault(what, "", "0.2 is a mid-grey table"))
        if faults:
            raise UsageError.of(faults)

    def mean_y(self, figure_y: float) -> float:
        """Luminance factor to which the eye adapts, for a figure of that mean Y in [0, 1]."""
        return 0.5 * (figure_y + self.surround_y)

    def luminance(self, mean_y: float) -> float:
        """The same in cd/m2, L = E Y / pi, as a matt surface under so much light has it."""
        return self.lux * mean_y / math.pi
