"""What `fourpot recipe` says: for people, or as JSON."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import chain
from pathlib import Path
from typing import Any

from preview.cli.summary import colour_patch, tell_estimates
from preview.cli.terminal import say, tell, tell_json
from preview.palette.ranking import FAR
from preview.palette.recipes import SAME, Recipes
from preview.present.recipe_words import far_in_words, recipe_in_words
from preview.rack.paint import Rack


def tell_recipe(
    rack: Rack, found: Recipes, report: Mapping[str, Any], out: Path | None, as_json: bool
) -> None:
    """The answers as a table, the verdict, and what to know of both."""
    if as_json:
        tell_json(report)
        return
    for note in found.wanted.notes:
        say(f"note: {note}")
    tell(f"{colour_patch(found.wanted.srgb)}wanted: {found.wanted.said}")
    tell(f"{'far off':>11}  drops  mix")
    for recipe in found.told:
        words = recipe_in_words(recipe)
        tell(
            f"{far_in_words(recipe):>11}  {recipe.total:>5}  {colour_patch(recipe.mix.srgb)}{words}"
            f"  ({recipe.mix.srgb}, {recipe.mix.certainty})"
        )
    tell(report["verdict"])
    if found.reached:
        say(
            f"ΔE00 is how far off a colour looks: {SAME:g} is just seen side by side, {FAR:g} at a "
            "glance; ≈ where the mix itself is an estimate."
        )
        say(
            f"Longer mixes that come less than {SAME:g} nearer are not listed: drops vary by as "
            "much."
        )
    metallic = [name for name, paint in rack.paints.items() if paint.finish == "metallic"]
    if left_out := [name for name in metallic if name not in found.plan.pots]:
        say(f"Left out, since metallic flakes mix otherwise: {', '.join(left_out)}.")
    if named := [name for name in metallic if name in found.plan.pots]:
        say(f"Metallic flakes mix otherwise than predicted here: {', '.join(named)}.")
    tell_estimates(recipe.mix for recipe in found.told)
    for sentence in dict.fromkeys(chain(*(answer["advice"] for answer in report["answers"]))):
        say(f"advice: {sentence}")
    if out is not None:
        say(f"picture    {out / 'recipe.png'}")
