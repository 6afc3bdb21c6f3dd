"""Under which conditions a figure is judged."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import product

from preview.errors import Fault, UsageError, choices_fix
from preview.judge.eyes import Eyes
from preview.settings import DISTANCE, LAMPS, LUX

SURROUND_Y = 0.2
"""Mid-grey table and wall: our convention."""


@dataclass(frozen=True)
class Conditions:
    """Distance, light, eyes and what surrounds the figure; matt paint, no lamp's gloss.

    distance_m : from eye to figure, metres.
    lux : on the figure, lx.
    surround_y : luminance factor of what is behind the figure, in [0, 1]. The eye is taken as
        adapted to equal parts of figure and surround.
    eyes : whose they are.
    illuminant : the lamp over the table, one of preview.settings.LAMPS.

    Raises
    ------
    UsageError : when a value is outside its range or no number; tells all at once.
    """

    distance_m: float = DISTANCE.default
    lux: float = LUX.default
    surround_y: float = SURROUND_Y
    eyes: Eyes = field(default_factory=Eyes)
    illuminant: str = "D65"

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
        if self.illuminant not in LAMPS:
            what = f'--lamp "{self.illuminant}" is unknown'
            faults.append(Fault(what, "command line", choices_fix(self.illuminant, LAMPS)))
        if faults:
            raise UsageError.of(faults)

    @property
    def name(self) -> str:
        """In words, such as "1 m" or "1.5 m, deutan"."""
        eyes = self.eyes.name
        return f"{self.distance_m:g} m" + ("" if eyes == Eyes().name else f", {eyes}")

    def mean_y(self, figure_y: float) -> float:
        """Luminance factor to which the eye adapts, for a figure of that mean Y in [0, 1]."""
        return 0.5 * (figure_y + self.surround_y)

    def luminance(self, mean_y: float) -> float:
        """The same in cd/m2, L = E Y / pi, as a matt surface under so much light has it."""
        return self.lux * mean_y / math.pi


def every_condition(
    distances_m: Sequence[float],
    eyes: Sequence[Eyes] = (Eyes(),),
    lux: float = LUX.default,
    illuminant: str = "D65",
) -> tuple[Conditions, ...]:
    """Each distance for each of the eyes, without repeats; the first of both comes first.

    Raises
    ------
    UsageError : as `Conditions`; of all distances at once.
    """
    faults: list[Fault] = []
    found: list[Conditions] = []
    for one, distance_m in product(dict.fromkeys(eyes), dict.fromkeys(distances_m)):
        try:
            found.append(
                Conditions(distance_m=distance_m, lux=lux, eyes=one, illuminant=illuminant)
            )
        except UsageError as error:
            faults.extend(error.faults)
    if faults:
        raise UsageError.of(list(dict.fromkeys(faults)))
    return tuple(found)
