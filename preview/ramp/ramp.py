"""A ramp: ordered steps from shadow to highlight, each a mix, still as spectra."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from preview.mix.mixture import Mix
from preview.rack.paint import Finish


@dataclass(frozen=True, eq=False)
class Step:
    """One step: its name, its mix, and the tone in [0, 1] at which it begins.

    glaze_coats : None for an opaque step; else the thickness, in coats, of the film laid
        over the step below.
    glaze_over : what the film lies over, when it is not the step below: another step of the
        ramp, or "primer".
    drops : as the scheme file writes them, pot role or step name -> whole drops; the mix's
        recipe is the same, flattened to paints.
    """

    name: str
    mix: Mix
    begins: float
    glaze_coats: float | None = None
    glaze_over: str | None = None
    drops: Mapping[str, int] = field(default_factory=dict)


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

    def step(self, name: str) -> Step:
        """The step of that name; raises KeyError when the ramp has none."""
        for step in self.steps:
            if step.name == name:
                return step
        raise KeyError(name)

    @property
    def midtone(self) -> Step:
        """The step that covers most of an area."""
        return self.step("midtone")
