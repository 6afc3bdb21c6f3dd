"""Dark colours whose swatch does not show what they look like thinned or in white."""

from __future__ import annotations

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
    lab = lab_from_reflectance(paint.reflectance)
    dark_colour = lab[0] < DARK_LIGHTNESS and chroma_from_lab(lab) >= NEUTRAL_CHROMA
    return bool(dark_colour and not paint.calibrated)


def shows_no_hue(paint: Paint) -> bool:
    """Whether a paint is so near to black that its swatch says nothing of the hue of its tints."""
    lab = lab_from_reflectance(paint.reflectance)
    return bool(lab[0] < DARK_LIGHTNESS and chroma_from_lab(lab) < NEUTRAL_CHROMA)


def ask_for_tint(paint: Paint, rack: Rack) -> str:
    """The sentence that asks for a tint of such a paint of a rack, with the command to give it."""
    lightness = float(lab_from_reflectance(paint.reflectance)[0])
    return (
        f'"{paint.name}" is dark (L* {lightness:.0f}) and known only as it looks undiluted, so its '
        "undertone is unknown and its mixes may come out in another hue. Let a tint of it with "
        f"white dry, then: fourpot calibrate {rack_as_typed(rack)} {typed(paint.name)} "
        "--with WHITE --parts 1:9 ..."
    )
