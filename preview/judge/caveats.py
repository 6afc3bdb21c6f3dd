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


def caveats_on(*conditions: Conditions) -> tuple[str, ...]:
    """What the method leaves out, with what the eyes of any of the conditions add."""
    return (*CAVEATS, *extrapolated(*conditions))


def extrapolated(*conditions: Conditions) -> tuple[str, ...]:
    """A sentence for each age beyond the source's last."""
    ages = sorted({one.eyes.age_years for one in conditions})
    return tuple(
        f"Eyes of {age:g} years: extrapolated. The published factor by which thresholds grow with "
        f"age ends at {MEASURED_YEARS:g} years; beyond it the same curve simply goes on."
        for age in ages
        if age > MEASURED_YEARS
    )
