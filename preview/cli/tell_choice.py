"""What `fourpot choose` says: a table with every figure, or JSON."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from preview.cli.terminal import say, tell, tell_json


def tell_choice(report: Mapping[str, Any], out: Path | None, as_json: bool, quiet: bool) -> None:
    """The options, the best first, each figure in hundredths, and how sure their order is."""
    if as_json:
        tell_json(report)
        return
    names = list(report["weights"])
    wide = [max(len(name), 5) for name in names]
    tell(
        f"{'':>3}  {'score':>5}  "
        + "  ".join(f"{n:>{w}}" for n, w in zip(names, wide, strict=True))
    )
    weights = (f"×{report['weights'][n]:g}" for n in names)
    tell(f"{'':>10}  " + "  ".join(f"{x:>{w}}" for x, w in zip(weights, wide, strict=True)))
    for row in report["best"]:
        values = (f"{100.0 * row['figures'][name]:.0f}" for name in names)
        tell(
            f"{row['place']:>2}.  {100.0 * row['score']:>5.1f}  "
            + "  ".join(f"{v:>{w}}" for v, w in zip(values, wide, strict=True))
        )
        tell("     " + ", ".join(f'{role} "{paint}"' for role, paint in row["pots"].items()))
        for note in row["notes"]:
            tell(f"     {note}")
    if quiet:
        return
    say(f"all figures in hundredths; reach counts {report['reach_counts']}")
    if few := _few_reached(report):
        say(few)
    say(_how_sure(report))
    if report["alike_within"] is not None:
        say(
            f"scores nearer than {100.0 * report['alike_within']:.0f} are alike: most paints' "
            "strengths are estimates (fourpot calibrate)"
        )
    if out is not None:
        written = [row["scheme"] for row in report["best"] if "scheme" in row]
        tell(f"sheet      {out / 'sheet.png'}")
        for name in written:
            tell(f"scheme     {out / name}")


def _few_reached(report: Mapping[str, Any]) -> str:
    """What to say where the best reaches less than half of what the figure wants; else ""."""
    share = report["best"][0]["figures"].get("reach", 1.0)
    if share >= 0.5 or "near" not in report["weights"]:
        return ""
    return (
        f"the best comes within ΔE00 3 of {share * report['wanted']:.0f} of {report['wanted']} "
        "colours only: look at the sheet (--out)"
    )


def _how_sure(report: Mapping[str, Any]) -> str:
    """Whether anything can have been missed."""
    tried = f"{report['mixed_in_full']} of {report['options']} options were mixed in full"
    if report["left_out_at_most"] is None:
        return f"exact: {tried}, and no other can score as much"
    most = 100.0 * report["left_out_at_most"]
    return f"stopped: {tried}; no option left out can score more than {most:.1f} (--seconds)"
