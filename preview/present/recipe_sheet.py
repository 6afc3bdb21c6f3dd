"""Recipes for a colour on paper: each answer beside the colour that is wanted, with its drops."""

from __future__ import annotations

from PIL import Image

from preview.palette.recipes import Recipe, Recipes
from preview.palette.thinned import pre_thinned
from preview.present.canvas import QUIET, RULE, Colour, Sheet, colour_from_hex
from preview.present.recipe_words import (
    PRE_THINNED,
    far_in_words,
    recipe_in_words,
    verdict_in_words,
)
from preview.rack.paint import Rack

WIDTH, ROW, MARGIN = 1240, 196, 40
_HALF = 230


def recipe_sheet(rack: Rack, found: Recipes) -> Image.Image:
    """A row per answer: the wanted colour against what comes of the mix, its drops and numbers.

    A square dab with a T is a drop of the pre-thinned mix, whose own drops stand above.
    """
    sheet = Sheet.blank(WIDTH, 330 + (ROW + 26) * len(found.told))
    sheet.text((MARGIN, 34), f"Wanted: {found.wanted.said}", 30, strong=True, fit=WIDTH - 80)
    said = sheet.paragraph((MARGIN, 80), verdict_in_words(found), WIDTH - 80, 20)
    top = max(158, 120 + round(said))
    sheet.text((MARGIN, top - 26), "wanted", 17, ink=QUIET)
    sheet.text((MARGIN + _HALF, top - 26), "mixed", 17, ink=QUIET)
    for number, recipe in enumerate(found.told):
        _draw_answer(sheet, rack, found, recipe, top + number * (ROW + 26))
    return sheet.trimmed()


def _draw_answer(sheet: Sheet, rack: Rack, found: Recipes, recipe: Recipe, top: int) -> None:
    """One answer: both colours edge to edge, then drops and numbers."""
    middle, right = MARGIN + _HALF, MARGIN + 2 * _HALF
    colour = colour_from_hex(recipe.mix.srgb)
    sheet.draw.rectangle((MARGIN, top, middle, top + ROW), colour_from_hex(found.wanted.srgb))
    sheet.draw.rectangle((middle, top, right, top + ROW), colour)
    sheet.draw.rectangle((MARGIN, top, right, top + ROW), outline=RULE)
    x, room = right + 34, WIDTH - MARGIN - right - 34
    pots = {name: colour_from_hex(rack.mix({name: 1}).srgb) for name in recipe.mix.recipe}
    y = top + (2 if recipe.thinned else 14)
    if recipe.thinned is not None:
        first = {recipe.thinned.strong: 1, recipe.thinned.carrier: recipe.thinned.carriers}
        sheet.drops((x, y), [(pots[name], n) for name, n in first.items()], room, size=30)
        y += 44
    counts, marks = _last_mix(rack, recipe, pots)
    sheet.drops((x, y), counts, room, size=44, marks=marks)
    said = sheet.paragraph((x, y + 60), recipe_in_words(recipe), room, 21, most_lines=2)
    lightness, a, b = (float(v) for v in recipe.mix.lab)
    many = f"{recipe.total} drop" + "s" * (recipe.total > 1)
    numbers = f"{far_in_words(recipe)},  {many},  {recipe.mix.certainty}"
    sheet.text((x, y + 64 + said), numbers, 19, ink=QUIET, fit=room)
    place = f"L* {lightness:.0f}  a* {a:.0f}  b* {b:.0f}   {recipe.mix.srgb}"
    sheet.text((x, y + 90 + said), place, 19, ink=QUIET, fit=room)


def _last_mix(
    rack: Rack, recipe: Recipe, pots: dict[str, Colour]
) -> tuple[list[tuple[Colour, int]], list[str]]:
    """Drops of the last mix with their colours, the pre-thinned mix first, and what marks them."""
    counts = [(pots[name], n) for name, n in recipe.drops.items()]
    if recipe.thinned is None:
        return counts, []
    before = colour_from_hex(pre_thinned(rack, recipe.thinned).srgb)
    return [(before, recipe.thinned.taken), *counts], [PRE_THINNED]
