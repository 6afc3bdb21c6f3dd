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
    numbers = {
        (use["ramp"], use["step"]): mix["number"] for mix in report["mixes"] for use in mix["uses"]
    }
    tell_table(
        ("mix", "drops", "for figure", "for others", "left", "made of", ""),
        [_mix_row(mix, numbers) for mix in report["mixes"]],
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
        several = ", or paint several --figures" if report["assumed"]["figures"] == 1 else ""
        say(
            f"dabs: of {dabs} of {len(report['mixes'])} mixes less than a quarter of the recipe is "
            f"needed; take the same parts with the tip of a brush{several}"
        )
    say(
        f"drops for the figure count the {100 * report['assumed']['waste']:g} % that stay on brush "
        "and palette"
    )
    say("amounts rest on common practice without a source: measure your drop and your coat")
    for name in report["files"]:
        tell(f"guide      {out / name}")


def _mix_row(mix: Mapping[str, Any], numbers: Mapping[tuple[str, str], int]) -> tuple[str, ...]:
    """One mix as a row of the table; dabs are told in parts, other mixes with their numbers."""
    ramp = mix["uses"][0]["ramp"]
    uses = ", ".join(f"{use['ramp']} {step_in_words(use['step'])}" for use in mix["uses"])
    times = 1 if mix["dabs"] else mix["recipes"]
    parts = {}
    for word, count in mix["parts"].items():
        number = numbers.get((ramp, word))
        name = word if number is None else f"{step_in_words(word)} (mix {number})"
        parts[name] = count * times
    amounts = ("needed_drops", "for_other_mixes_drops", "left_drops")
    return (
        str(mix["number"]),
        *(
            ("dabs", "–", "–", "–")
            if mix["dabs"]
            else (str(mix["drops"]), *(one_place(mix[key]) for key in amounts))
        ),
        drops_in_words(parts),
        f"({uses})",
    )


def _pot_row(pot: Mapping[str, Any]) -> tuple[str, ...]:
    """What one pot gives and keeps, as a row of the table."""
    left = "–" if pot["left_ml"] is None else f"{pot['left_ml']:.1f} of {pot['stock_ml']:g} ml"
    return pot["paint"], one_place(pot["drops"]), f"{pot['ml']:.2f}", left
