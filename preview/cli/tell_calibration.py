"""What fourpot calibrate says when it is done."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from preview.cli.summary import colour_patch
from preview.cli.terminal import say, tell, tell_json
from preview.mix.certainty import MEDIAN_ERROR


def tell_calibration(report: Mapping[str, Any], out: Path | None, as_json: bool) -> None:
    """Each tint before and after, which fit was taken, and what to look at."""
    if as_json:
        tell_json(report)
        return
    taken = report["photograph"]
    if taken is not None:
        tell(f"measured in {taken['source']}: {colour_patch(taken['srgb'])}{taken['srgb']}")
        if taken["residual_largest"] is None:
            say("a grey card sets light and white balance alone; a 24-patch chart measures better")
        for note in taken["notes"]:
            say(f"note: {note}")
    for tint in report["tints"]:
        tell(f"{tint['parts']} with {tint['with']}: off by ΔE00 {_both(tint)}")
        for key, word in (("srgb", "tint"), ("predicted_before", "before")):
            say(f"  {word:<7} {colour_patch(tint[key])}{tint[key]}")
        say(f"  {'after':<7} {colour_patch(tint['predicted_after'])}{tint['predicted_after']}")
    say(f"taken: {report['why']}")
    low, high = report["usual_strength"]
    say(
        f"strength: {report['strength']:.2g}, white being 1 (usually {low:g} to {high:g}); wrong "
        "parts would show here alone"
    )
    for doubt in report["doubts"]:
        say(f"look again: {doubt}")
    for name in report["calibrate_again"]:
        say(f'tints of "{name}" were mixed with this paint: calibrate it again')
    error = MEDIAN_ERROR["calibrated"]
    say(f"half of all oil tints foretold from calibrated paints were within {error:g} ΔE00")
    tell(f"rack       {report['file']}")
    if report["backup"] is not None:
        say(f"before     {report['backup']}")
    if out is not None:
        say(f"card       {out / 'card.png'}")


def _both(tint: Mapping[str, Any]) -> str:
    """How far off a tint was before, and is after either fit."""
    one, three = tint["after_one_number"], tint["after_three_numbers"]
    fits = f"one number {one:.1f}, three {three:.1f}"
    return f"{tint['before']:.1f} before, {tint['after']:.1f} after ({fits})"
