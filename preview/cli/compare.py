"""fourpot compare: several schemes on one mesh, side by side."""

from pathlib import Path
from typing import Annotated

import typer

from preview.cli import options as o
from preview.settings import COMPARE_FRAMES, COMPARE_SIZE, ELEVATION, LAMP, LUX, RENDERER


def compare(
    schemes: Annotated[
        list[Path], typer.Argument(help="two scheme files or more (TOML)", metavar="SCHEME ...")
    ],
    mesh: o.Meshes = None,
    marks: o.MarksFile = None,
    out: o.Out = None,
    frames: o.Frames = COMPARE_FRAMES,
    size: o.Size = COMPARE_SIZE,
    elevation: o.Elevation = ELEVATION.default,
    rig: o.RigName = None,
    spread: o.SpreadLight = None,
    lamp: o.LampName = LAMP,
    paint_only: o.PaintOnly = False,
    distance: o.Distances = None,
    eyes: o.EyesOf = None,
    lux: o.Lux = f"{LUX.default:g}",
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
    """Set several schemes side by side."""
    from preview.cli.request import Request
    from preview.cli.summary import tell_comparison

    out = out or Path("fourpot-compare")
    report = Request.of(locals()).compare(schemes, out)
    tell_comparison(report, out, as_json, quiet)
