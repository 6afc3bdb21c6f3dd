"""What a verdict can't promise, said with every one."""

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
