"""What a verdict can't promise, said with every one."""

from preview.judge.conditions import Conditions
from preview.judge.eye.age_adrian_1989 import MEASURED_YEARS

CAVEATS = (
    "The cut-offs between grades are put together from lighting practice, reading research and "
    "standards; no study of how people see painted miniatures was found.",
    "Thresholds come from laboratory tests on plain grey. Shading, texture, gloss and clutter hide "
    "detail and are not modelled; the reserve asked of a readable border is meant to cover them, "
    "which nobody has tested.",
    "Grades go by lightness. Hue alone lifts a pair to visible at most, and only where the part is "
    "wide enough for its hue to be seen; cut-offs for hue come from maps and coloured marks.",
    "Taken for granted: eyes of acuity 1.0, corrected if need be, that know where to look.",
)


def caveats_on(conditions: Conditions) -> tuple[str, ...]:
    """What the method leaves out, with what these eyes add."""
    age = conditions.eyes.age_years
    if age <= MEASURED_YEARS:
        return CAVEATS
    beyond = (
        f"Eyes of {age:g} years are beyond the {MEASURED_YEARS:g} that the thresholds' growth with "
        "age was measured to; it is extrapolated."
    )
    return (*CAVEATS, beyond)
