"""What fourpot pairs says: a table of pairs, a table of what colour is left, or JSON."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from preview.cli.summary import tell_notes_and_pictures
from preview.cli.terminal import say, tell, tell_json, tell_table
from preview.mix.mixture import Mix
from preview.palette.pairs import CHART_DROPS, Pair, Pairs
from preview.present.palette_words import VERDICTS, degrees_in_words


def tell_pairs(found: Pairs, report: Mapping[str, Any], out: Path | None, as_json: bool) -> None:
    """What the pairs make, and how much colour each ratio leaves."""
    if as_json:
        tell_json(report)
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
    tell_notes_and_pictures(report, out)


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
