"""A paint one owns, and the rack it stands in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from preview.errors import Fault, choices_fix
from preview.optics.spectrum import Floats

if TYPE_CHECKING:
    from preview.mix.mixture import Mix

Origin = Literal["measured", "swatch", "guess"]
Hiding = Literal["opaque", "semi", "transparent", "unknown"]
Finish = Literal["matt", "satin", "gloss", "metallic"]
Certainty = Literal["measured", "calibrated", "estimate"]


@dataclass(frozen=True, eq=False)
class Tint:
    """A test swatch: a paint mixed with another one, dry and hiding.

    partner : name of the paint it was mixed with.
    parts : of the paint and of its partner, whole numbers of at least 1.
    lab : (3,) CIELAB under D65, 2 degrees.
    """

    partner: str
    parts: tuple[int, int]
    lab: Floats

    @property
    def share(self) -> float:
        """Of the paint in the tint, in (0, 1)."""
        return self.parts[0] / sum(self.parts)

    @property
    def ratio(self) -> str:
        """The parts as one writes them: "1:9"."""
        return f"{self.parts[0]}:{self.parts[1]}"


@dataclass(frozen=True, eq=False)
class Paint:
    """One paint, as dry, opaque brush-outs of it look, with what is known of its scattering.

    reflectance : (31,) unitless in (0, 1]; as swatched or measured, outside the paint.
    scattering : (31,) unitless, > 0, relative to white = 1.
    surface_k1, surface_k2 : Saunderson constants of the outer surface, in [0, 1); k1 lies below
        every value of `reflectance`.
    certainty : of the paint alone: measured when its reflectance was measured, else calibrated
        when its scattering was, else estimate.
    calibrated : whether `scattering` comes from test swatches rather than from a default.
    tints : the test swatches that the rack file keeps.
    """

    name: str
    reflectance: Floats
    scattering: Floats
    surface_k1: float
    surface_k2: float
    origin: Origin
    certainty: Certainty
    hiding: Hiding = "unknown"
    finish: Finish = "matt"
    pigments: tuple[str, ...] = ()
    stock_ml: float | None = None
    note: str = ""
    calibrated: bool = False
    tints: tuple[Tint, ...] = ()


@dataclass(frozen=True, eq=False)
class Rack:
    """The paints of one rack file, by name, in the order of the file.

    name : what the rack is called: the file's name without its ending.
    title : what it calls itself.
    """

    name: str
    paints: Mapping[str, Paint]
    path: Path | None = None
    title: str = ""

    @property
    def where(self) -> str:
        """Its file, or its name where it was not read from one."""
        return str(self.path) if self.path else self.name

    def lacks(self, name: str) -> Fault:
        """The fault of naming a paint that this rack does not hold."""
        return Fault(f'no paint "{name}" in this rack', self.name, choices_fix(name, self.paints))

    def mix(self, drops: Mapping[str, float]) -> Mix:
        """The mix of whole drops of this rack's paints; see preview.mix.recipes.mix_paints."""
        from preview.mix.recipes import mix_paints

        return mix_paints(self, drops)
