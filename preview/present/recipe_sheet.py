"""Recipes for a colour on paper: each answer beside the colour that is wanted, with its drops."""

from __future__ import annotations

from PIL import Image

from preview.palette.ranking import FAR
from preview.palette.recipes import Recipe, Recipes
from preview.palette.thinned import pre_thinned
from preview.present.canvas import QUIET, RULE, Colour, Sheet, colour_from_hex
from preview.present.palette import drops_in_words
from preview.rack.paint import Rack

WIDTH, ROW, MARGIN = 1240, 196, 40
_HALF = 230
_MARK = "T"


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


def verdict_in_words(found: Recipes) -> str:
    """Whether the colour can be had, and by what the nearest was chosen."""
    near, longer = found.nearest, found.longer
    if longer is not None:
        return (
            f"Not within {found.most_drops} drops; with {longer.total} drops it is: "
            f"{recipe_in_words(longer)}, {far_in_words(longer)} away ({longer.mix.certainty}). "
            f"Within {found.most_drops} the nearest is {far_in_words(near)} away."
        )
    if not found.reached:
        return (
            f"Cannot be reached with these pots; the nearest is {far_in_words(near)} away: "
            f"{recipe_in_words(near)}. So far off, the nearest is told by the older ΔE*ab (CIE "
            f"1976), for ΔE00 is made for differences up to {FAR:g}."
        )
    return f"The nearest of these is {far_in_words(near)} away ({near.mix.certainty})."


def far_in_words(recipe: Recipe) -> str:
    """How far a mix is from the colour wanted: "ΔE00 1.2", or past what that is made for ΔE*ab.

    A "≈" stands before what is only as sure as an estimated mix.
    """
    number = f"{recipe.difference:.1f}" if recipe.rank <= FAR else f"{recipe.distance:.0f}"
    sign = "≈" if recipe.mix.certainty == "estimate" and len(recipe.mix.recipe) > 1 else ""
    return f"{'ΔE00' if recipe.rank <= FAR else 'ΔE*ab'} {sign}{number}"


def recipe_in_words(recipe: Recipe) -> str:
    """What to count out: "2 rust orange + 1 dusk violet", or the two steps; T is the first."""
    words = drops_in_words(recipe.drops)
    before = recipe.thinned
    if before is None:
        return words
    first = drops_in_words({before.strong: 1, before.carrier: before.carriers})
    return f"first {_MARK} = {first}; then {before.taken} {_MARK} + {words}"


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
    return [(before, recipe.thinned.taken), *counts], [_MARK]
