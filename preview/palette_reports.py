"""Circle, pairs, recipe, mix and ramp for JSON; told without drawing anything."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from preview.mix.certainty import median_error
from preview.mix.mixture import Mix
from preview.mix.neutral import Neutral
from preview.mix.undertone import ask_for_tint, hides_undertone
from preview.palette.opposites import Across, Opposites
from preview.palette.pairs import CHART_DROPS, Pair, Pairs
from preview.palette.ranking import FAR
from preview.palette.recipes import SAME, Recipe, Recipes
from preview.palette.standing import Standing
from preview.present.palette_words import circle_notes, pairs_notes
from preview.present.recipe_words import verdict_in_words
from preview.rack.paint import Rack
from preview.ramp.ramp import Ramp, Step
from preview.ramp.words import Role


def circle_report(
    rack: Rack,
    standings: Sequence[Standing],
    opposites: Sequence[Opposites],
    pictures: Sequence[str] = (),
) -> dict[str, Any]:
    """The circle for JSON."""
    return {
        "rack": rack.name,
        "paints": [standing_report(one) for one in standings],
        "opposites": [
            {
                "name": one.name,
                "on_the_circle": _across_report(one.circle),
                "in_cielab": _across_report(one.cielab),
                "mixing_to_neutral": None
                if one.mixing is None
                else {"name": one.mixing.name, **neutral_report(one.mixing.neutral)},
            }
            for one in opposites
        ],
        "notes": circle_notes(standings),
        "pictures": list(pictures),
    }


def standing_report(one: Standing) -> dict[str, Any]:
    """One paint on the circle for JSON."""
    place, tint = one.place, one.tint
    return {
        "name": one.name,
        "kind": one.kind,
        "side": place.side,
        "borderline": place.borderline,
        "hue": None if place.side == "neutral" else place.hue,
        "wheel_deg": None if place.side == "neutral" else round(place.wheel_deg, 2),
        "hue_deg": round(one.hue_deg, 2),
        "chroma": round(place.chroma, 3),
        "lightness": round(float(one.mix.lab[0]), 3),
        "srgb": one.mix.srgb,
        "warmth": round(one.warmth, 3),
        "tint": None
        if tint is None
        else {
            "white_drops": tint.white_drops,
            "hue_deg": round(place.hue_deg, 2),
            "srgb": tint.mix.srgb,
        },
        "certainty": one.certainty,
        "undertone_unknown": one.undertone_unknown,
        "metallic": not one.mixes_as_pigments,
    }


def neutral_report(neutral: Neutral) -> dict[str, Any]:
    """The most neutral mix of two for JSON."""
    return {
        "drops": list(neutral.drops),
        "chroma": round(neutral.chroma, 3),
        "lightness": round(neutral.lightness, 3),
        "hue_deg": round(neutral.hue_deg, 2),
        "srgb": neutral.mix.srgb,
        "verdict": neutral.verdict,
        "certainty": neutral.mix.certainty,
    }


def _across_report(across: Across | None) -> dict[str, Any] | None:
    """A paint across for JSON."""
    return None if across is None else {"name": across.name, "off_deg": round(across.off_deg, 2)}


def pairs_report(found: Pairs, pictures: Sequence[str] = ()) -> dict[str, Any]:
    """The pairs for JSON."""
    return {
        "rack": found.rack.name,
        "pairs_in_all": found.count,
        "pairs_told": len(found.pairs),
        "off_white": None if found.pale is None else found.pale.name,
        "chart_drops": [list(drops) for drops in CHART_DROPS],
        "paints": _paints(found),
        "pairs": [_pair_report(pair) for pair in found.pairs],
        "notes": pairs_notes(found),
        "pictures": list(pictures),
    }


def _paints(found: Pairs) -> list[dict[str, Any]]:
    """Every paint of the pairs told, once."""
    pots = {pot.name: pot for pair in found.pairs for pot in (pair.warm, pair.cold)}
    return [standing_report(pot) for pot in pots.values()]


def _pair_report(pair: Pair) -> dict[str, Any]:
    """One pair for JSON."""
    return {
        "warm": pair.warm.name,
        "cold": pair.cold.name,
        "span": round(pair.span, 3),
        "lightness_gap": round(pair.lightness_gap, 3),
        "ciede2000": round(pair.difference, 3),
        "warmth_gap": round(pair.warmth_gap, 3),
        "most_neutral": neutral_report(pair.neutral),
        "chroma_left": [round(chroma, 3) for chroma in pair.chroma],
        "mixes_srgb": [mix.srgb for mix in pair.mixes],
        "lightened_srgb": [mix.srgb for mix in pair.lightened],
        "brown": _mixed_report(pair.brown),
        "grey": _mixed_report(pair.grey),
    }


def _mixed_report(mix: Mix | None) -> dict[str, Any] | None:
    """A brown or grey for JSON."""
    if mix is None:
        return None
    return {
        "drops": dict(mix.recipe),
        "lab": [round(float(v), 3) for v in mix.lab],
        "srgb": mix.srgb,
        "certainty": mix.certainty,
    }


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
        "most_drops": found.most_drops,
        "reached_with_drops": None if found.longer is None else found.longer.total,
        "reached_within": FAR,
        "ranked_by": "ciede2000" if found.reached else "cie1976",
        "told_apart_from": SAME,
        "verdict": verdict_in_words(found),
        "answers": [_answer_report(rack, recipe) for recipe in found.told],
    }


def _answer_report(rack: Rack, recipe: Recipe) -> dict[str, Any]:
    """One answer for JSON."""
    before = recipe.thinned
    return {
        **mix_report(rack, recipe.mix),
        "ciede2000": round(recipe.difference, 4),
        "cie1976": round(recipe.distance, 4),
        "count_out": recipe.total,
        "first": None if before is None else {before.strong: 1, before.carrier: before.carriers},
        "drops_of_first": 0 if before is None else before.taken,
        "then": dict(recipe.drops),
    }


def ramp_report(rack: Rack, pots: Mapping[Role, str], ramp: Ramp) -> dict[str, Any]:
    """A ramp's steps for JSON, from the darkest."""
    return {"pots": dict(pots), "steps": [_step_report(rack, step) for step in ramp.steps]}


def _step_report(rack: Rack, step: Step) -> dict[str, Any]:
    """One step for JSON."""
    written = {"step": step.name, "as_written": dict(step.drops), "begins": step.begins}
    return {**written, **mix_report(rack, step.mix)}


def mix_report(rack: Rack, mix: Mix) -> dict[str, Any]:
    """A mix for JSON."""
    return {
        "rack": rack.name,
        "drops": dict(mix.recipe),
        "lab": [round(float(v), 4) for v in mix.lab],
        "srgb": mix.srgb,
        "reflectance": [round(float(v), 6) for v in mix.reflectance],
        "wavelengths_nm": [400, 700, 10],
        "certainty": mix.certainty,
        "median_error": median_error(mix),
        "advice": _undertones(rack, mix),
    }


def _undertones(rack: Rack, mix: Mix) -> list[str]:
    """What to do about dark paints of a mix whose undertone is unknown."""
    paints = [rack.paints[name] for name in mix.recipe]
    if len(paints) == 1:
        return []
    return [ask_for_tint(paint, rack) for paint in paints if hides_undertone(paint)]
