"""What fourpot pairs says: a table of pairs, a table of what colour is left, or JSON."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from preview.cli.tell_circle import neutral_report, standing_report
from preview.cli.terminal import say, tell, tell_json, tell_table
from preview.mix.mixture import Mix
from preview.palette.pairs import CHART_DROPS, Pair, Pairs
from preview.present.palette_words import VERDICTS, degrees_in_words, pairs_notes


def tell_pairs(found: Pairs, pictures: Sequence[str], out: Path | None, as_json: bool) -> None:
    """What the pairs make, and how much colour each ratio leaves."""
    if as_json:
        tell_json(pairs_report(found, pictures))
        return
    tell_table(
        ("warm", "cold", "span", "ΔL*", "ΔE00", "warmer", "most neutral", "C*", "L*", "h_ab",
         "so they are", "brown", "grey", "how sure"),
        [_row(pair) for pair in found.pairs],
        "llrrrrrrrr",
    )  # fmt: skip
    tell("")
    tell_table(
        ("C* left of", "and", *(f"{a}:{b}" for a, b in CHART_DROPS)),
        [(p.warm.name, p.cold.name, *(f"{c:.0f}" for c in p.chroma)) for p in found.pairs],
        "ll" + "r" * len(CHART_DROPS),
    )
    pale = "" if found.pale is None else f"; of {found.pale.name}, too, for a grey"
    say(f"Drops are of the warm : of the cold paint{pale}.")
    say("Span is the colour (C*) that the duller pot loses on the way to the most neutral mix.")
    for note in pairs_notes(found):
        say(note)
    if out is not None:
        for name in pictures:
            say(f"chart      {out / name}")


def pairs_report(found: Pairs, pictures: Sequence[str]) -> dict[str, Any]:
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
        "brown": _mix_report(pair.brown),
        "grey": _mix_report(pair.grey),
    }


def _mix_report(mix: Mix | None) -> dict[str, Any] | None:
    """A brown or grey for JSON."""
    if mix is None:
        return None
    return {
        "drops": dict(mix.recipe),
        "lab": [round(float(v), 3) for v in mix.lab],
        "srgb": mix.srgb,
        "certainty": mix.certainty,
    }


def _row(pair: Pair) -> tuple[str, ...]:
    """One pair as a row of the table."""
    neutral = pair.neutral
    return (
        pair.warm.name,
        pair.cold.name,
        f"{pair.span:.0f}",
        f"{round(pair.lightness_gap):+d}",
        f"{pair.difference:.0f}",
        f"{pair.warmth_gap:.2f}",
        "{}:{}".format(*neutral.drops),
        f"{neutral.chroma:.1f}",
        f"{neutral.lightness:.0f}",
        degrees_in_words(neutral.hue_deg),
        VERDICTS[neutral.verdict],
        _ratio(pair.brown),
        _ratio(pair.grey),
        neutral.mix.certainty,
    )


def _ratio(mix: Mix | None) -> str:
    """The drops alone, "3:1"; "none"."""
    return "none" if mix is None else ":".join(str(n) for n in mix.recipe.values())
