"""What can be set, once: name, default, unit, range and help, for options and documents alike."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from preview.errors import UsageError


@dataclass(frozen=True)
class Setting:
    """One number that a user may set.

    name : as on the command line, without dashes.
    default, low, high : in `unit`; the ends belong to the range.
    """

    name: str
    default: float
    low: float
    high: float
    unit: str
    help: str

    def check(self, value: float) -> float:
        """The value itself, or UsageError when it is outside the range or no number."""
        if not self.low <= value <= self.high:
            raise UsageError(
                f"--{self.name} must be from {self.low:g} to {self.high:g} {self.unit}".rstrip()
                + f", got {value:g}",
                "command line",
                f"leave it out for {self.default:g}",
            )
        return value


FRAMES = Setting("frames", 36, 1, 720, "", "pictures in one turn of the turntable")
SIZE = Setting("size", 1000, 64, 4096, "pixels", "width and height of each frame")
ELEVATION = Setting("elevation", 18, -80, 80, "degrees", "how far above the figure the eye is")
DISTANCE = Setting("distance", 1.0, 0.1, 20, "m", "from the eye to the table")
LUX = Setting("lux", 500, 1, 100_000, "lx", "light on the table")
AGE = Setting("eyes", 23, 18, 80, "years", "age of the eyes")
SIGHT_ELEVATION = Setting("elevation", 27, -80, 80, "degrees", "of the eye above the figure")
FRONT = Setting("front", 2, 1, 100, "", "how many times more the front counts than the back")
FIGURE_MM = Setting("figure-mm", 32, 5, 1000, "mm", "height that the figure is scaled to")
SPREAD = Setting(
    "spread", 0.75, 0, 1, "", "how far each area's light is spread over its whole ramp; 0 is off"
)
PROPOSE = Setting("propose", 16, 1, 200, "", "cut the figure into that many numbered regions")
SETTINGS = (
    FRAMES,
    SIZE,
    ELEVATION,
    DISTANCE,
    LUX,
    AGE,
    SIGHT_ELEVATION,
    FRONT,
    FIGURE_MM,
    SPREAD,
    PROPOSE,
)
LUX_PRESETS = {"living-room": 150.0, "gaming-table": 300.0, "display": 500.0, "judging": 1000.0}
LAMPS = ("D65", "D50", "A", "warm-led", "cool-led")
Deficiency = Literal["protan", "deutan", "tritan"]
DEFICIENCIES: tuple[Deficiency, ...] = ("protan", "deutan", "tritan")
RENDERERS = ("auto", "scan", "rays", "gl")
BACKDROPS = ("plain", "transparent")
