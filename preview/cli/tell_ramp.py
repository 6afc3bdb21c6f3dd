"""What `fourpot ramp` and `fourpot scheme` say: for people, or as JSON."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise
from pathlib import Path
from typing import Any

from preview.cli.summary import colour_patch, tell_estimates
from preview.cli.terminal import say, tell, tell_json
from preview.mix.circle import NEUTRAL_CHROMA
from preview.palette_reports import ramp_report
from preview.present.palette import drops_as_written
from preview.ramp.advice import advise
from preview.ramp.ramp import Ramp, Step
from preview.ramp.scheme import Scheme
from preview.ramp.toml_text import drops_table
from preview.ramp.words import AUTO, Role, step_in_words

# In CIELAB; the circle's hues are about 30° apart. A choice of ours.
_TURNED_DEG = 40.0
# A step of less than this share of another is told. A choice of ours.
_EVEN_SHARE = 0.5


def scheme_report(scheme: Scheme) -> dict[str, Any]:
    """A scheme's pots, ramps and advice for JSON."""
    return {
        "title": scheme.title,
        "rack": scheme.rack.name,
        "ramps": {n: ramp_report(scheme.rack, scheme.pots, r) for n, r in scheme.ramps.items()},
        "areas": dict(scheme.areas),
        "elsewhere": scheme.elsewhere,
        "advice": [found.sentence for found in advise(scheme) if not found.fine],
    }


def tell_ramp(
    pots: Mapping[Role, str], ramp: Ramp, report: Mapping[str, Any], out: Path | None, as_json: bool
) -> None:
    """A ramp as a table, the line that a scheme takes, and how sure it is."""
    if as_json:
        tell_json(report)
        return
    _tell_steps(ramp, pots)
    rule = f"midtone = {drops_table(ramp.midtone.drops)}, steps = {len(ramp.steps)}"
    say(f"in a scheme: {AUTO} = {{ {rule} }}")
    tell_estimates(step.mix for step in ramp.steps)
    if turned := [step_in_words(step.name) for step in ramp.steps if _turns(step, ramp.midtone)]:
        say(
            f"the hue of {' and '.join(turned)} is far from the mid-tone's: a brown pot, or one of "
            "a neighbouring hue, would keep it"
        )
    if uneven := _uneven(ramp):
        say(uneven)
    if out is not None:
        say(f"picture    {out / 'ramp.png'}")


def tell_scheme(scheme: Scheme, written: Path | None, as_json: bool) -> None:
    """A scheme's pots and ramps, what could be better, and where its copy stands."""
    if as_json:
        tell_json({**scheme_report(scheme), "written": str(written) if written else None})
        return
    tell(scheme.title)
    for role, name in scheme.pots.items():
        tell(f"  {role:<7}{colour_patch(scheme.pot(role).srgb)}{name}")
    for ramp in scheme.ramps.values():
        areas = [area for area, name in scheme.areas.items() if name == ramp.name]
        areas += ["all other areas"] * (scheme.elsewhere == ramp.name)
        tell(f"{ramp.name}: {', '.join(areas) or 'no area'}")
        _tell_steps(ramp, scheme.pots)
    for found in advise(scheme):
        if not found.fine:
            say(f"advice: {found.sentence}")
    if written is not None:
        tell(f"written to {written}")


def _tell_steps(ramp: Ramp, pots: Mapping[Role, str]) -> None:
    """A line per step, from the darkest."""
    for step in ramp.steps:
        glaze = f", {step.glaze_coats:g} coats of glaze" if step.glaze_coats is not None else ""
        tell(
            f"  {colour_patch(step.mix.srgb)}{step_in_words(step.name):<12} L* "
            f"{step.mix.lab[0]:>4.1f}  {step.mix.srgb}  {drops_as_written(step, pots)}{glaze}"
        )


def _uneven(ramp: Ramp) -> str:
    """What to say where one step is less than half another; else ""."""
    rises = [
        (float(upper.mix.lab[0] - lower.mix.lab[0]), step_in_words(lower.name), upper)
        for lower, upper in pairwise(ramp.steps)
    ]
    least, most = (pick(rises, key=lambda rise: rise[0]) for pick in (min, max))
    if least[0] >= _EVEN_SHARE * most[0]:
        return ""
    small, large = (
        f"{rise:.1f} from {below} to {step_in_words(above.name)}"
        for rise, below, above in (least, most)
    )
    return (
        f"the steps are uneven, L* {small}, {large}: these pots give this mid-tone no more room "
        "in few drops"
    )


def _turns(step: Step, midtone: Step) -> bool:
    """Whether a step has plainly another hue than the mid-tone; greys have none."""
    (_, a, b), (_, mid_a, mid_b) = step.mix.lab, midtone.mix.lab
    if min(math.hypot(a, b), math.hypot(mid_a, mid_b)) < NEUTRAL_CHROMA:
        return False
    apart = math.degrees(math.atan2(b, a) - math.atan2(mid_b, mid_a)) % 360.0
    return min(apart, 360.0 - apart) > _TURNED_DEG
