"""A ramp as a strip: its steps edge to edge, their values in grey, and the drops of each."""

from __future__ import annotations

from collections.abc import Mapping

from PIL import Image

from preview.optics.srgb_iec61966 import hex_from_lab
from preview.present.canvas import QUIET, Colour, Sheet, colour_from_hex, ink_on
from preview.present.palette import drops_in_words, drops_to_draw
from preview.rack.paint import Rack
from preview.ramp.ramp import Ramp, Step
from preview.ramp.words import HIGHLIGHT_NAMES, Role, step_in_words

MARGIN, SWATCH, VALUE = 40, 210, 46
_LEAST_WIDTH, _MOST_WIDTH = 170, 300


def ramp_strip(rack: Rack, pots: Mapping[Role, str], ramp: Ramp) -> Image.Image:
    """The steps from dark to light as broad swatches, L* as greys below them, drops in pictures.

    A round drop is a drop of a pot, a square dab with M a drop of the mid-tone.
    """
    each = max(_LEAST_WIDTH, min(_MOST_WIDTH, 1240 // len(ramp.steps)))
    width = 2 * MARGIN + each * len(ramp.steps)
    sheet = Sheet.blank(width, 660)
    middle = ramp.midtone
    sheet.text(
        (MARGIN, 32),
        f"Around {drops_in_words(middle.mix.recipe)}",
        28,
        True,
        fit=width - 2 * MARGIN,
    )
    said = f"{len(ramp.steps)} steps from {rack.title or rack.name}, {middle.mix.certainty}"
    sheet.text((MARGIN, 72), said, 19, ink=QUIET, fit=width - 2 * MARGIN)
    colours = {step.name: colour_from_hex(step.mix.srgb) for step in ramp.steps}
    colours |= {role: colour_from_hex(rack.mix({name: 1}).srgb) for role, name in pots.items()}
    for number, step in enumerate(ramp.steps):
        _draw_step(sheet, step, pots, colours, MARGIN + number * each, each)
    return sheet.trimmed()


def _draw_step(
    sheet: Sheet,
    step: Step,
    pots: Mapping[Role, str],
    colours: Mapping[str, Colour],
    left: int,
    width: int,
) -> None:
    """One step: swatch, value, name, drops."""
    top, low = 116, 116 + SWATCH
    lightness = float(step.mix.lab[0])
    grey = colour_from_hex(hex_from_lab([lightness, 0.0, 0.0]))
    sheet.draw.rectangle((left, top, left + width, low), colours[step.name])
    sheet.draw.rectangle((left, low, left + width, low + VALUE), grey)
    at = (left + 12, low + VALUE / 2)
    sheet.text(at, f"L* {lightness:.0f}", 19, ink=ink_on(grey), anchor="lm")
    y, room = low + VALUE + 14, width - 14
    sheet.text((left, y), step_in_words(step.name), 20, True, fit=room)
    counts, marks = drops_to_draw(step, colours, len(HIGHLIGHT_NAMES))
    size = min(30.0, room / sum(0.86 * count + 0.42 for _, count in counts))
    sheet.drops((left, y + 34), counts, room, size=max(size, 13.0), marks=marks)
    named = {str(role): name for role, name in pots.items()}
    words = drops_in_words({named.get(w, step_in_words(w)): n for w, n in step.drops.items()})
    sheet.paragraph((left, y + 76), words, room, 18, most_lines=5)
