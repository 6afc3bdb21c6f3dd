"""What the guide says in the terminal: the mixes and the pots as tables, or JSON."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from preview.cli.terminal import say, tell, tell_json, tell_table
from preview.present.palette import drops_in_words, one_place
from preview.ramp.words import step_in_words


def tell_guide(report: Mapping[str, Any], out: Path, as_json: bool, quiet: bool) -> None:
    """How much of every mix and pot, and where the guide is."""
    if as_json:
        tell_json(report)
        return
    if quiet:
        return
    for sentence in report["notes"]:
        say(f"note: {sentence}")
    tell_table(
        ("mix", "drops", "to paint", "for others", "left", "made of", ""),
        [_mix_row(mix) for mix in report["mixes"]],
        "rrrrr",
    )
    tell("")
    tell_table(
        ("pot", "drops", "ml", "left in the pot"),
        [_pot_row(pot) for pot in report["pots"]],
        "lrr",
    )
    dabs = sum(mix["dabs"] for mix in report["mixes"])
    if dabs:
        say(
            f"{dabs} of {len(report['mixes'])} mixes need far less than one recipe: there count "
            "the same parts with the tip of a brush, or paint several --figures"
        )
    say("amounts rest on common practice without a source: measure your drop and your coat")
    for name in report["files"]:
        tell(f"guide      {out / name}")


def _mix_row(mix: Mapping[str, Any]) -> tuple[str, ...]:
    """One mix as a row of the table; dabs are told in parts."""
    uses = ", ".join(f"{use['ramp']} {step_in_words(use['step'])}" for use in mix["uses"])
    times = 1 if mix["dabs"] else mix["recipes"]
    parts = {step_in_words(name): count * times for name, count in mix["parts"].items()}
    return (
        str(mix["number"]),
        "dabs" if mix["dabs"] else str(mix["drops"]),
        one_place(mix["needed_drops"]),
        one_place(mix["for_other_mixes_drops"]),
        one_place(mix["left_drops"]),
        drops_in_words(parts),
        f"({uses})",
    )


def _pot_row(pot: Mapping[str, Any]) -> tuple[str, ...]:
    """What one pot gives and keeps, as a row of the table."""
    left = "–" if pot["left_ml"] is None else f"{pot['left_ml']:.1f} of {pot['stock_ml']:g} ml"
    return pot["paint"], one_place(pot["drops"]), f"{pot['ml']:.2f}", left
