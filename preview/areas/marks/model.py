"""What a marks file says, as frozen values."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from preview.areas.analysis.metric import Metric
from preview.errors import Fault

Point = tuple[float, float, float]

POINT, DISC, STROKE, BELT, OUTLINE, HEIGHTS, LOOKS_UP, SHELL = (
    "point", "disc", "stroke", "belt", "outline", "heights", "looks_up", "shell",
)  # fmt: skip
UNSURE = "unsure"


@dataclass(frozen=True)
class Spot:
    """A place on the figure.

    at : mm, in the frame of the marks file; None while only a pixel is known.
    normal : outward, so that a thin cloak's two sides differ; None takes the nearest side.
    view, pixel : a picture of the sheet and a place in it, instead of `at`.
    """

    at: Point | None = None
    normal: Point | None = None
    view: str = ""
    pixel: tuple[float, float] | None = None


@dataclass(frozen=True)
class Mark:
    """One mark.

    area : the area that it gives.
    kind : "point" grows until it meets another or has come as far as it may, from its place or from
        the line through its places;
        "disc", "stroke", "belt", "outline", "heights", "looks_up", "shell" cover what they say and
        no more;
        "unsure" has slips in the file, and gives nothing but places to look at for more.
    where : its place in the file, for messages.
    spots : one or more for a point and for discs, two and more for a stroke, three for a belt,
        three and more for an outline, in order around it.
    size : mm, diameter of discs, width of a stroke or belt; of a point how far it grows straight
        from its places and the line between them, 0 until it meets another.
    low, high : mm above the figure's lowest point, for heights.
    degrees, below : how far a face must look up, in degrees above the horizon; up to which height
        in mm above the figure's lowest point.
    shells : numbers of shells, the largest is 1.
    mirror : the same again on the other side; None does as the file says for all marks, where
        there is surface.
    """

    area: str
    kind: str
    where: str
    spots: tuple[Spot, ...] = ()
    size: float = 0.0
    low: float = 0.0
    high: float = 0.0
    degrees: float = 0.0
    below: float = 0.0
    shells: tuple[int, ...] = ()
    mirror: bool | None = None


@dataclass(frozen=True)
class Camera:
    """A picture of the sheet, as the marks file keeps it; see preview.render.view.View.

    distance : mm, 0 for parallel rays.
    size : width and height in pixels.
    """

    target: Point
    azimuth: float
    elevation: float
    distance: float
    mm_per_pixel: float
    size: tuple[int, int]


@dataclass(frozen=True)
class Fingerprint:
    """The figure that the file was made for.

    name : of the mesh file, without suffix.
    faces : how many.
    mm2 : mm², all of its surface.
    height_mm : mm.
    shape : places spread over the surface, each with its outward normal.
    """

    name: str
    faces: int
    mm2: float
    height_mm: float
    shape: tuple[tuple[Point, Point], ...]


@dataclass(frozen=True)
class Settled:
    """Places on the figure and the areas that they had when it was last shown.

    digest : of the marks that made them; with other marks they count for nothing.
    areas : area -> places inside of it.
    """

    digest: str
    areas: Mapping[str, tuple[Spot, ...]]


@dataclass(frozen=True)
class Marks:
    """All that a marks file says.

    path : the file.
    figure : None in a file written by hand, which then fits its mesh as it is.
    metric : None takes the usual one.
    count : how many regions the proposal has; 0 for none.
    regions : number -> its middle on the figure.
    areas : area -> numbers that it takes.
    split : number -> into how many parts.
    marks : in the order of the file, which does not matter.
    views : name -> camera.
    mirror : numbers and marks count on both sides of the plane of symmetry.
    mirror_x : mm, where the plane lies.
    settled : what came out last; None in a file that was not shown yet.
    faults : what is wrong in the file and off the figure so far; the rest was read all the same,
        so that everything can be told at once.
    """

    path: Path
    figure: Fingerprint | None = None
    metric: Metric | None = None
    count: int = 0
    regions: Mapping[str, Spot] = field(default_factory=dict)
    areas: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    split: Mapping[str, int] = field(default_factory=dict)
    marks: tuple[Mark, ...] = ()
    views: Mapping[str, Camera] = field(default_factory=dict)
    mirror: bool = False
    mirror_x: float = 0.0
    settled: Settled | None = None
    faults: tuple[Fault, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """Every area, in the order in which the file first names it."""
        return tuple(dict.fromkeys([*self.areas, *(mark.area for mark in self.marks)]))


def rounded(row: Iterable[float], digits: int) -> Point:
    """Three plain numbers with so many digits; no minus zero."""
    x, y, z = (round(float(v), digits) + 0.0 for v in row)
    return x, y, z
