"""What sheets and reports say in words."""

from __future__ import annotations

from preview.areas.sculpt import Sculpt
from preview.mix.certainty import class_in_words
from preview.paint.painted import Painted

CAUTIONS = (
    "Spray and airbrush only with a fitting mask and good ventilation.",
    "Sand cured resin wet and keep the dust off your skin and out of the air you breathe; "
    "never handle uncured resin bare-handed.",
    "Never spray or sand paints with cadmium, cobalt, chromium, nickel or lead pigments "
    "(such as PY35, PR108, PB28, PG18, PY53, PW1), and take care with any dry pigment.",
    "Keep brushes out of your mouth.",
    "The product's label, its safety data sheet and local rules prevail over all that is said "
    "here; if unsure, ask somebody qualified.",
)


def counted_areas(count: int) -> str:
    """So many areas: "1 area", "9 areas"."""
    return f"{count} area{'' if count == 1 else 's'}"


def figure_in_words(painted: Painted) -> str:
    """The figure, the rack and the light in one line."""
    sculpt, scheme = painted.sculpt, painted.scheme
    return (
        f"{sculpt.name}, {sculpt.placement.height_mm:.0f} mm tall, "
        f"{counted_areas(len(sculpt.area_names))}   ·   rack: {scheme.rack.name}   ·   "
        f"primer: {scheme.primer.name}   ·   painted light: {painted.rig.name}"
    )


def placement_in_words(sculpt: Sculpt) -> str:
    """How the file's numbers became millimetres."""
    placed = sculpt.placement
    return f"{placed.height_mm:.1f} mm tall, {placed.up} up; {placed.why}"


def certainty_in_words(painted: Painted) -> str:
    """How sure the colours are, for the whole scheme."""
    steps = [s for r in painted.ramp_of_area if r is not None for s in r.steps]
    estimates = sum(s.mix.certainty == "estimate" for s in steps)
    if not steps:
        return "No ramp is in use."
    if estimates == 0:
        return f"All mixes rest on calibrated paints: {class_in_words('calibrated')}."
    return (
        f"≈ marks an estimate ({class_in_words('estimate')}): mixed from swatches whose strength "
        "is unknown; try a drop, or calibrate on a tint "
        f"({class_in_words('calibrated').removeprefix('half of such mixes were ')})."
    )
