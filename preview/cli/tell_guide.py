"""What the guide says in the terminal: the mixes and the pots as tables, or JSON."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from preview.cli.terminal import say, tell, tell_json
from preview.present.palette import drops_in_words
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
    tell(f"{'mix':>3}  {'drops':>5}  {'used':>6}  {'others':>6}  {'left':>6}  made of")
    for mix in report["mixes"]:
        uses = ", ".join(f"{use['ramp']} {step_in_words(use['step'])}" for use in mix["uses"])
        parts = {step_in_words(n): c * mix["recipes"] for n, c in mix["parts"].items()}
        tell(
            f"{mix['number']:>3}  {mix['drops']:>5}  {mix['needed_drops']:>6.1f}  "
            f"{mix['for_other_mixes_drops']:>6}  {mix['left_drops']:>6.1f}  "
            f"{drops_in_words(parts)}  ({uses})"
        )
    tell("")
    width = max(len(pot["paint"]) for pot in report["pots"])
    tell(f"{'pot':<{width}}  {'drops':>5}  {'ml':>6}  left in the pot")
    for pot in report["pots"]:
        left = "–" if pot["left_ml"] is None else f"{pot['left_ml']:.1f} of {pot['stock_ml']:g} ml"
        tell(f"{pot['paint']:<{width}}  {pot['drops']:>5}  {pot['ml']:>6.2f}  {left}")
    dabs = sum(mix["dabs"] for mix in report["mixes"])
    if dabs:
        say(
            f"{dabs} of {len(report['mixes'])} mixes need far less than one recipe: there count "
            "the same parts with the tip of a brush, or paint several --figures"
        )
    say("amounts rest on common practice without a source: measure your drop and your coat")
    for name in report["files"]:
        tell(f"guide      {out / name}")
