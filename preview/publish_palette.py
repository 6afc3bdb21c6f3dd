"""Circle, pairs, recipe, mix and ramp into a folder: their pictures and report.json."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from preview.mix.mixture import Mix
from preview.palette.opposites import Opposites
from preview.palette.pairs import Pairs
from preview.palette.recipes import Recipes
from preview.palette.standing import Standing
from preview.palette_reports import (
    circle_report,
    mix_report,
    pairs_report,
    ramp_report,
    recipe_report,
)
from preview.present.circle_sheet import circle_sheet
from preview.present.folder import fill_folder, write_json
from preview.present.mixing_chart import mixing_charts
from preview.present.opposites_sheet import opposites_sheets
from preview.present.ramp_strip import ramp_strip
from preview.present.recipe_sheet import recipe_sheet
from preview.present.swatch import swatch_card
from preview.rack.paint import Rack
from preview.ramp.ramp import Ramp
from preview.ramp.words import Role


def publish_circle(
    out: Path,
    rack: Rack,
    standings: Sequence[Standing],
    opposites: Sequence[Opposites],
    overwrite: bool = False,
) -> dict[str, Any]:
    """Write circle.png, opposites-N.png and report.json; gives the report.

    Raises
    ------
    WriteFault : `out` cannot be written or holds files of others.
    """
    with fill_folder(out, overwrite) as folder:
        pages = {"circle.png": circle_sheet(rack, standings)}
        for number, page in enumerate(opposites_sheets(rack, standings, opposites), start=1):
            pages[f"opposites-{number}.png"] = page
        for name, page in pages.items():
            page.save(folder / name)
        report = circle_report(rack, standings, opposites, tuple(pages))
        write_json(folder / "report.json", report)
        return report


def publish_pairs(out: Path, found: Pairs, overwrite: bool = False) -> dict[str, Any]:
    """Write pairs-N.png and report.json; gives the report.

    Raises
    ------
    WriteFault : `out` cannot be written or holds files of others.
    """
    with fill_folder(out, overwrite) as folder:
        pictures = []
        for number, chart in enumerate(mixing_charts(found), start=1):
            pictures.append(f"pairs-{number}.png")
            chart.save(folder / pictures[-1])
        report = pairs_report(found, pictures)
        write_json(folder / "report.json", report)
        return report


def publish_recipe(
    out: Path, rack: Rack, found: Recipes, overwrite: bool = False
) -> dict[str, Any]:
    """Write recipe.png and report.json; gives the report.

    Raises
    ------
    WriteFault : `out` cannot be written or holds files of others.
    """
    with fill_folder(out, overwrite) as folder:
        recipe_sheet(rack, found).save(folder / "recipe.png")
        report = recipe_report(rack, found)
        write_json(folder / "report.json", report)
        return report


def publish_ramp(
    out: Path, rack: Rack, pots: Mapping[Role, str], ramp: Ramp, overwrite: bool = False
) -> dict[str, Any]:
    """Write ramp.png and report.json; gives the report.

    Raises
    ------
    WriteFault : `out` cannot be written or holds files of others.
    """
    with fill_folder(out, overwrite) as folder:
        ramp_strip(rack, pots, ramp).save(folder / "ramp.png")
        report = ramp_report(rack, pots, ramp)
        write_json(folder / "report.json", report)
        return report


def publish_mix(out: Path, rack: Rack, mix: Mix, overwrite: bool = False) -> dict[str, Any]:
    """Write swatch.png and report.json; gives the report.

    Raises
    ------
    WriteFault : `out` cannot be written or holds files of others.
    """
    with fill_folder(out, overwrite) as folder:
        swatch_card(rack, mix).save(folder / "swatch.png")
        report = mix_report(rack, mix)
        write_json(folder / "report.json", report)
        return report
