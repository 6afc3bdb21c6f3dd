"""A scheme: which pots, mixed how, on which areas, lit from where."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from preview.light.lightmap import Rig
from preview.mix.mixture import Mix
from preview.optics.spectrum import Floats
from preview.rack.paint import Paint, Rack
from preview.ramp.ramp import Ramp
from preview.ramp.words import Role


@dataclass(frozen=True, eq=False)
class Primer:
    """What lies under the paint.

    name : "white", "grey", "black", a hex colour, or a paint of the rack.
    reflectance : (31,) unitless in (0, 1].
    """

    name: str
    reflectance: Floats


@dataclass(frozen=True, eq=False)
class Scheme:
    """One option for painting a sculpt with a few pots.

    path : the file that it was read from.
    pots : role -> name of a paint of the rack.
    ramps : name -> ramp, in the order of the file.
    areas : name of an area of the mesh -> name of a ramp.
    elsewhere : the ramp of all areas that are not named; None leaves them in bare primer.
    rig : where painted light comes from.
    meshes : mesh files that the scheme was made for, beside the scheme; may be empty.
    turn_deg : how far the mesh is turned about the vertical, counter-clockwise seen from above.
    marks : marks file for a single-solid mesh, or None.
    """

    title: str
    path: Path
    rack: Rack
    pots: Mapping[Role, str]
    primer: Primer
    ramps: Mapping[str, Ramp]
    areas: Mapping[str, str]
    elsewhere: str | None
    rig: Rig
    meshes: tuple[Path, ...] = ()
    turn_deg: float = 0.0
    marks: Path | None = None
    note: str = ""

    def paint(self, role: Role) -> Paint:
        """The paint in the pot of that role; raises KeyError when the scheme has no such pot."""
        return self.rack.paints[self.pots[role]]

    def pot(self, role: Role) -> Mix:
        """The pot of that role as it stands, unmixed; raises KeyError when there is none."""
        return self.rack.mix({self.pots[role]: 1})
