"""What `fourpot recipe` says: for people, or as JSON."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from preview.cli.summary import colour_patch, mix_report, tell_estimates
from preview.cli.terminal import say, tell, tell_json
from preview.palette.ranking import FAR
from preview.palette.recipes import SAME, Recipe, Recipes
from preview.present.recipe_sheet import recipe_in_words, verdict_in_words
from preview.rack.paint import Rack


def recipe_report(rack: Rack, found: Recipes) -> dict[str, Any]:
    """The answers for JSON."""
    return {
        "wanted": {
            "said": found.wanted.said,
            "lab": [round(float(v), 4) for v in found.wanted.lab],
            "srgb": found.wanted.srgb,
            "notes": list(found.wanted.notes),
        },
        "pots": list(found.plan.pots),
        "mixes": {"looked_at": found.plan.looked_at, "of": found.plan.of},
        "reached": found.reached,
        "reached_within": FAR,
        "ranked_by": "CIEDE2000" if found.reached else "CIE 1976 delta E*ab",
        "told_apart_from": SAME,
        "verdict": verdict_in_words(found),
        "answers": [_answer_report(rack, recipe) for recipe in found.answers],
    }


def tell_recipes(rack: Rack, found: Recipes, out: Path | None, as_json: bool) -> None:
    """The answers as a table, the verdict, and what to know of both."""
    if as_json:
        tell_json(recipe_report(rack, found))
        return
    for note in found.wanted.notes:
        say(f"note: {note}")
    tell(f"{colour_patch(found.wanted.srgb)}wanted: {found.wanted.said}")
    tell(f"{'ΔE00' if found.reached else 'ΔE*ab':>9}  drops  mix")
    for recipe in found.answers:
        words = recipe_in_words(recipe)
        far = recipe.difference if found.reached else recipe.distance
        tell(
            f"{far:>9.1f}  {recipe.total:>5}  {colour_patch(recipe.mix.srgb)}{words}"
            f"  ({recipe.mix.srgb}, {recipe.mix.certainty})"
        )
    tell(verdict_in_words(found))
    if found.reached:
        say(
            f"ΔE00 is how far off a colour looks: {SAME:g} is just seen side by side, {FAR:g} at a "
            "glance."
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
    tell_estimates(recipe.mix for recipe in found.answers)
    if out is not None:
        say(f"picture    {out / 'recipe.png'}")


def _answer_report(rack: Rack, recipe: Recipe) -> dict[str, Any]:
    """One answer for JSON."""
    before = recipe.thinned
    return {
        **mix_report(rack, recipe.mix),
        "ciede2000": round(recipe.difference, 4),
        "delta_e_1976": round(recipe.distance, 4),
        "count_out": recipe.total,
        "first": None if before is None else {before.strong: 1, before.carrier: before.carriers},
        "drops_of_first": 0 if before is None else before.taken,
        "then": dict(recipe.drops),
    }
