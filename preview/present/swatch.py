"""A mix as a swatch: its colour, its drops, its numbers."""

from __future__ import annotations

from PIL import Image

from preview.mix.certainty import certainty_in_words
from preview.mix.mixture import Mix
from preview.present.canvas import QUIET, Sheet, colour_from_hex
from preview.present.palette import drops_in_words
from preview.rack.paint import Rack


def swatch_card(rack: Rack, mix: Mix) -> Image.Image:
    """A card with the mix's colour large, the pots it comes from, and its numbers."""
    sheet = Sheet.blank(900, 560)
    sheet.swatch((40, 40, 860, 330), colour_from_hex(mix.srgb), 14)
    pots = {name: colour_from_hex(rack.mix({name: 1}).srgb) for name in mix.recipe}
    counts = [(pots[name], count) for name, count in mix.recipe.items()]
    sheet.drops((40, 352), counts, 820, size=40)
    sheet.text((40, 414), drops_in_words(mix.recipe), 26, strong=True, fit=820)
    lightness, a, b = (float(v) for v in mix.lab)
    chroma = (a * a + b * b) ** 0.5
    numbers = f"L* {lightness:.1f}  a* {a:.1f}  b* {b:.1f}  C* {chroma:.1f}   {mix.srgb}"
    sheet.text((40, 458), numbers, 22, ink=QUIET, fit=820)
    sheet.text((40, 494), f"from {rack.name}; {certainty_in_words(mix)}", 22, ink=QUIET, fit=820)
    return sheet.image
