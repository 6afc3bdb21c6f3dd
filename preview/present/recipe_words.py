"""The answers of a recipe in words."""

from __future__ import annotations

from preview.palette.ranking import FAR
from preview.palette.recipes import Recipe, Recipes
from preview.present.palette import drops_in_words

# What stands for the pre-thinned mix in "3 T + 2 rust orange".
PRE_THINNED = "T"


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
    return f"first {PRE_THINNED} = {first}; then {before.taken} {PRE_THINNED} + {words}"
