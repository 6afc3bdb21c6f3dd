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
    left_out : what leaving it out stands for; "" for the default.
    """

    name: str
    default: float
    low: float
    high: float
    unit: str
    help: str
    left_out: str = ""

    def check(self, value: float) -> float:
        """The value itself, or UsageError when it is outside the range or no number."""
        if not self.low <= value <= self.high:
            raise UsageError(
                f"--{self.name} must be from {self.low:g} to {self.high:g} {self.unit}".rstrip()
                + f", got {value:g}",
                "command line",
                f"leave it out for {self.left_out or format(self.default, 'g')}",
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
FIGURE_MM = Setting(
    "figure-mm",
    32,
    1,
    2000,
    "mm",
    "height that the figure is scaled to",
    "the file's own height, or 32 mm where that is no figure's",
)
TURN = Setting(
    "turn",
    0,
    -360,
    360,
    "degrees",
    "turn the figure about the vertical, counter-clockwise seen from above",
    "the scheme's own turn, else none",
)
SPREAD = Setting(
    "spread",
    0.75,
    0,
    1,
    "",
    "how far each area's light is spread over its whole ramp; 0 is off",
    "the rig's own",
)
PROPOSE = Setting(
    "propose",
    16,
    1,
    200,
    "",
    "cut the figure into that many numbered regions",
    "the areas as they are; 16 is a good number to begin with",
)
TOP = Setting("top", 12, 1, 10_000, "", "how many pairs to tell, the widest span first")
DROPS = Setting("drops", 8, 1, 20, "", "drops in one mix at most")
STEPS = Setting("steps", 5, 3, 9, "", "steps of the ramp, the mid-tone among them")
# How much paint: all defaults of this block are common practice, no source.
FIGURES = Setting("figures", 1, 1, 1000, "", "how many figures alike are painted with the batch")
COATS = Setting(
    "coats", 1, 1, 30, "", "coats of every opaque mix", "as many as hide, the base coat at least 2"
)
FILM = Setting("film-um", 15, 1, 500, "µm", "how thick one brushed coat is once dry")
SOLIDS = Setting(
    "solids", 0.35, 0.05, 1, "", "share of a drop that stays once it is dry, by volume"
)
DROP = Setting("drop-ml", 0.05, 0.005, 0.5, "ml", "volume of one drop")
WASTE = Setting("waste", 0.5, 0, 0.95, "", "share of a mix that stays on brush and palette")
COUNT = Setting("count", 10, 1, 100, "", "how many options to list")
DIFFER = Setting("differ", 1, 1, 3, "pots", "by how many pots each differs from every better one")
SECONDS = Setting(
    "seconds",
    60,
    1,
    86_400,
    "s",
    "after which mixing sets of four stops"
    " (what sets share comes first: up to a minute more for 200 paints)",
)
COMPARE_FRAMES, COMPARE_SIZE = 24, 480
LUX_PRESETS = {"living-room": 150.0, "gaming-table": 300.0, "display": 500.0, "judging": 1000.0}
LAMPS = ("D65", "D50", "A", "warm-led", "cool-led")
LAMP = "D65"
Deficiency = Literal["protan", "deutan", "tritan"]
DEFICIENCIES: tuple[Deficiency, ...] = ("protan", "deutan", "tritan")
RENDERERS = ("auto", "scan", "rays", "gl")
RENDERER = "auto"
BACKDROPS = ("plain", "transparent")
BACKDROP = "plain"
PAPERS = ("a4", "letter")
PAPER = "a4"
MESH_SUFFIXES = (".stl", ".obj", ".3mf", ".glb", ".gltf", ".ply")
MM_PER_UNIT = {
    "micron": 0.001,
    "mm": 1.0,
    "cm": 10.0,
    "inch": 25.4,
    "foot": 304.8,
    "metre": 1000.0,
}
UP_AXES = ("z", "y", "x", "-z", "-y", "-x")
GRADES = ("lost", "trace", "visible", "readable", "strong")
