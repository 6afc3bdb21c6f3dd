"""Circle, pairs, recipe, mix and ramp into a folder: their pictures and report.json."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from PIL import Image

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
    pages = {"circle.png": circle_sheet(rack, standings)}
    for number, page in enumerate(opposites_sheets(rack, standings, opposites), start=1):
        pages[f"opposites-{number}.png"] = page
    report = circle_report(rack, standings, opposites, tuple(pages))
    return _write(out, overwrite, pages, report)


def publish_pairs(out: Path, found: Pairs, overwrite: bool = False) -> dict[str, Any]:
    """Write pairs-N.png and report.json; gives the report; raises WriteFault."""
    charts = enumerate(mixing_charts(found), start=1)
    pages = {f"pairs-{number}.png": chart for number, chart in charts}
    return _write(out, overwrite, pages, pairs_report(found, tuple(pages)))


def publish_recipe(
    out: Path, rack: Rack, found: Recipes, overwrite: bool = False
) -> dict[str, Any]:
    """Write recipe.png and report.json; gives the report; raises WriteFault."""
    pages = {"recipe.png": recipe_sheet(rack, found)}
    return _write(out, overwrite, pages, recipe_report(rack, found))


def publish_ramp(
    out: Path, rack: Rack, pots: Mapping[Role, str], ramp: Ramp, overwrite: bool = False
) -> dict[str, Any]:
    """Write ramp.png and report.json; gives the report; raises WriteFault."""
    pages = {"ramp.png": ramp_strip(rack, pots, ramp)}
    return _write(out, overwrite, pages, ramp_report(rack, pots, ramp))


def publish_mix(out: Path, rack: Rack, mix: Mix, overwrite: bool = False) -> dict[str, Any]:
    """Write swatch.png and report.json; gives the report; raises WriteFault."""
    return _write(out, overwrite, {"swatch.png": swatch_card(rack, mix)}, mix_report(rack, mix))


def _write(
    out: Path, overwrite: bool, pages: Mapping[str, Image.Image], report: dict[str, Any]
) -> dict[str, Any]:
    """Write pictures by name, and report.json; gives the report."""
    with fill_folder(out, overwrite) as folder:
        for name, page in pages.items():
            page.save(folder / name)
        write_json(folder / "report.json", report)
    return report
