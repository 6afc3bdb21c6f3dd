"""A ramp: ordered steps from shadow to highlight, each a mix, still as spectra."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from preview.mix.mixture import Mix
from preview.rack.paint import Finish


@dataclass(frozen=True, eq=False)
class Step:
    """One step: its name, its mix, and the tone in [0, 1] at which it begins.

    glaze_coats : None for an opaque step; else the thickness, in coats, of the film laid
        over the step below.
    """

    name: str
    mix: Mix
    begins: float
    glaze_coats: float | None = None


@dataclass(frozen=True, eq=False)
class Ramp:
    """Steps from dark to light, how their borders look, and the finish.

    edges : "layered" is a hard border, "blended" a wet blend over `blend_width` of tone.
    """

    name: str
    steps: tuple[Step, ...]
    edges: Literal["layered", "blended"] = "blended"
    blend_width: float = 0.12
    finish: Finish = "matt"
