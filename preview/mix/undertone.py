"""Dark colours whose swatch does not show what they look like thinned or in white."""

from __future__ import annotations

from collections.abc import Sequence

from preview.files import typed
from preview.mix.circle import NEUTRAL_CHROMA
from preview.optics.appearance import lab_from_reflectance
from preview.optics.cie1976_lab import chroma_from_lab
from preview.rack.find import rack_as_typed
from preview.rack.paint import Paint, Rack

# A chromatic paint darker than this hides its undertone; from trials with synthetic acrylics.
DARK_LIGHTNESS = 35.0


def hides_undertone(paint: Paint) -> bool:
    """Whether a paint is dark and chromatic, and no test swatch says how it looks in mixes."""
    return is_dark(paint) and not shows_no_hue(paint) and not paint.calibrated


def is_dark(paint: Paint) -> bool:
    """Whether a paint is so dark that its swatch says little of the hue of its tints."""
    return bool(lab_from_reflectance(paint.reflectance)[0] < DARK_LIGHTNESS)


def shows_no_hue(paint: Paint) -> bool:
    """Whether a paint is so near to black that its swatch says nothing of the hue of its tints."""
    chroma = chroma_from_lab(lab_from_reflectance(paint.reflectance))
    return is_dark(paint) and bool(chroma < NEUTRAL_CHROMA)


def undertones_unknown(names: Sequence[str]) -> str:
    """The short sentence on such paints, at least one, where several are told of at once."""
    named = " and ".join(f'"{name}"' for name in names)
    return f"undertone unknown: {named}; its mixes may come out in another hue"


def ask_for_tint(paint: Paint, rack: Rack) -> str:
    """The sentence that asks for a tint of such a paint of a rack, with the command to give it."""
    lightness = float(lab_from_reflectance(paint.reflectance)[0])
    return (
        f'"{paint.name}" is dark (L* {lightness:.0f}) and known only as it looks undiluted, so its '
        "undertone is unknown and its mixes may come out in another hue. Let a tint of it with "
        "white dry, then, with your white and the tint's colour: fourpot calibrate "
        f"{rack_as_typed(rack)} {typed(paint.name)} "
        '--with "your white" --parts 1:9 --srgb "#rrggbb"'
    )
