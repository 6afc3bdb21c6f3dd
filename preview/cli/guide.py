"""fourpot guide: how much paint, and the painting guide to print."""

from pathlib import Path
from typing import Annotated

import typer

from preview.cli import options as o
from preview.settings import DROP, FIGURES, FILM, PAPER, RENDERER, SOLIDS, WASTE


def guide(
    scheme: Annotated[Path, typer.Argument(help="scheme file (TOML)", metavar="SCHEME")],
    mesh: o.Meshes = None,
    marks: o.MarksFile = None,
    out: o.Out = None,
    paper: o.Paper = PAPER,
    figures: o.Figures = int(FIGURES.default),
    coats: o.Coats = None,
    film_um: o.Film = FILM.default,
    solids: o.Solids = SOLIDS.default,
    drop_ml: o.Drop = DROP.default,
    waste: o.Waste = WASTE.default,
    rig: o.RigName = None,
    spread: o.SpreadLight = None,
    renderer: o.RendererName = RENDERER,
    racks: o.Racks = None,
    unit: o.Unit = None,
    up: o.Up = None,
    figure_mm: o.FigureMm = None,
    turn: o.Turn = None,
    overwrite: o.Overwrite = False,
    as_json: o.Json = False,
    quiet: o.Quiet = False,
) -> None:
    """Say how much paint it takes, and print the guide for the desk."""
    from preview.cli.guide_request import GuideRequest
    from preview.cli.tell_guide import tell_guide

    out = out or Path(f"fourpot-guide-{scheme.stem}")
    report = GuideRequest.of(locals()).guide(scheme, out)
    tell_guide(report, out, as_json, quiet)
