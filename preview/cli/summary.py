"""What each command says when it is done: a few lines for people, or JSON for programs."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from preview.cli.terminal import say, tell, tell_json
from preview.files import typed
from preview.mix.certainty import certainty_in_words, class_in_words
from preview.mix.mixture import Mix
from preview.present.palette import drops_in_words


def tell_painting(report: Mapping[str, Any], out: Path, as_json: bool, quiet: bool) -> None:
    """How the painting came out and where it is."""
    if as_json:
        tell_json(report)
        return
    if quiet:
        return
    say()
    say(f"{report['title']}: {report['readability']['summary']}")
    advice = [found["sentence"] for found in report["advice"] if not found["fine"]]
    for sentence in (*report["notes"], *(f"advice: {a}" for a in advice)):
        say(f"  {sentence}")
    say(f"  renderer: {report['renderer']['why']}")
    moving = [p for p in report["pictures"] if p.startswith("turntable")]
    tell(f"sheet      {out / 'sheet.png'}")
    for name in moving:
        tell(f"turntable  {out / name}")
    tell(f"values     {out / 'value.png'}")
    tell(f"report     {out / 'report.md'}")


def tell_comparison(report: Mapping[str, Any], out: Path, as_json: bool, quiet: bool) -> None:
    """How each scheme reads and where the sheet is."""
    if as_json:
        tell_json(report)
        return
    if quiet:
        return
    say()
    for one in report["schemes"]:
        say(f"{one['title']}: {one['readability']['summary']}")
    for row in report["ranking"]:
        share = row["lowest_share"]
        told = "no borders to judge" if share is None else f"{100 * share:.0f} % at its worst"
        say(f"  {row['place']}. {row['title']}: {told}")
    tell(f"sheet      {out / 'sheet.png'}")
    tell(f"noticed    {out / 'flip.png'}")
    for name in report["pictures"]:
        if name.startswith("turntable"):
            tell(f"turntable  {out / name}")


def tell_areas(
    report: Mapping[str, Any], out: Path | None, as_json: bool, quiet: bool, next_command: str = ""
) -> None:
    """The areas or regions as a table, and what to look at; the table alone when quiet.

    Parameters
    ----------
    next_command : what to run once the areas are right; "" tells none.
    """
    if as_json:
        tell_json(report)
        return
    if not quiet:
        _tell_figure(report)
    if "regions" in report:
        _tell_regions(report["regions"])
    else:
        _tell_area_table(report["areas"])
    if not quiet:
        _tell_what_to_look_at(report, out)
        if next_command:
            say(f"next: when the areas are right  {next_command}")


def _tell_figure(report: Mapping[str, Any]) -> None:
    """Size, where its areas come from, what was mended."""
    say(f"{report['height_mm']:.1f} mm tall, {report['up']} up; {report['placed']}")
    say(f"areas from {report['areas_from']}")
    for sentence in report["repaired"]:
        say(f"mended: {sentence}")
    if report["hidden_faces"]:
        counted = "but part of their regions" if "regions" in report else "and count in no size"
        say(f"{report['hidden_faces']} of {report['faces']} faces are hidden {counted}")


def _tell_what_to_look_at(report: Mapping[str, Any], out: Path | None) -> None:
    """Notes, likely mistakes, pictures, and what to do next."""
    for sentence in report.get("notes", ()):
        say(f"note: {sentence}")
    for island in report.get("islands", ()):
        x, y, z = island["at"]
        say(
            f"looks like a mistake: {island['mm2']:.2f} mm2 of {island['area']} within "
            f"{island['inside']}, at [{x:.2f}, {y:.2f}, {z:.2f}]"
        )
    if report.get("unmarked_mm2"):
        say(f"unmarked: {report['unmarked_mm2']:.2f} mm2")
    if out is not None and report.get("pictures"):
        say(f"picture    {out / report['pictures'][0]}")
    if out is not None and "marks" in report:
        say(f"next: write names over the numbers in  {out / report['marks']}")


def _tell_area_table(areas: Sequence[Mapping[str, Any]]) -> None:
    """Faces, size and share of each area."""
    width = max(len(row["name"]) for row in areas)
    tell(f"{'area':<{width}}  {'faces':>9}  {'mm2':>9}  share")
    for row in areas:
        tell(
            f"{row['name']:<{width}}  {row['faces']:>9}  {row['mm2']:>9.2f}  "
            f"{100 * row['share']:>4.1f} %"
        )


def _tell_regions(regions: Sequence[Mapping[str, Any]]) -> None:
    """Size, width and neighbours of each region."""
    tell(f"{'number':<7} {'mm2':>9}  {'wide':>6}  beside")
    for row in regions:
        beside = sorted(row["neighbours"], key=lambda name: -row["neighbours"][name])
        tell(f"{row['name']:<7} {row['mm2']:>9.2f}  {row['width_mm']:>6.2f}  {', '.join(beside)}")


def tell_mix(mix: Mix, report: Mapping[str, Any], out: Path | None, as_json: bool) -> None:
    """A mix in the terminal: a patch of its colour where the terminal can show one."""
    if as_json:
        tell_json(report)
        return
    lightness, a, b = (float(v) for v in mix.lab)
    tell(f"{colour_patch(mix.srgb)}{drops_in_words(mix.recipe)}  ({report['rack']})")
    tell(f"L* {lightness:.1f}  a* {a:.1f}  b* {b:.1f}   {mix.srgb}   {certainty_in_words(mix)}")
    tell_estimates([mix])
    for sentence in report["advice"]:
        say(f"advice: {sentence}")
    if out is not None:
        say(f"swatch     {out / 'swatch.png'}")


def tell_notes_and_pictures(report: Mapping[str, Any], out: Path | None) -> None:
    """What a report says in plain sentences, and where its pictures lie if they were written."""
    for note in report["notes"]:
        say(note)
    if out is not None:
        for name in report["pictures"]:
            say(f"picture    {out / name}")


def tell_estimates(mixes: Iterable[Mix]) -> None:
    """That some of the mixes are estimates, and what such ones were worth; nothing where none."""
    if any(mix.certainty == "estimate" and len(mix.recipe) > 1 for mix in mixes):
        say(
            f"an estimate: some paint's strength in mixes is unknown; {class_in_words('estimate')};"
            " try a drop before you trust it"
        )


def colour_patch(srgb: str) -> str:
    """Two blocks of a colour by the terminal's 24-bit colours; nothing when not on a terminal."""
    if not sys.stdout.isatty():
        return ""
    red, green, blue = (int(srgb[k : k + 2], 16) for k in (1, 3, 5))
    return f"\x1b[48;2;{red};{green};{blue}m    \x1b[0m  "


def tell_start(scheme: Path, advice: Sequence[str], rank: str, as_json: bool, quiet: bool) -> None:
    """Where the new scheme stands, how its pots were chosen, and what to do next.

    Parameters
    ----------
    rank : the command that ranks other sets of pots for the same figure.
    """
    if as_json:
        tell_json({"scheme": str(scheme), "advice": list(advice)})
        return
    if quiet:
        tell(str(scheme))
        return
    for sentence in advice:
        say(f"advice: {sentence}")
    say("pots: those whose mixes come nearest to the colours of these areas; by more figures, and")
    say(f"so maybe others first, rank them with  {rank}")
    tell(str(scheme))
    say(f"next: look it over, then  fourpot paint {typed(scheme)}")
