"""fourpot paint: a scheme on a mesh, as turntable, sheet, value sheet and report."""

from pathlib import Path
from typing import Annotated

import typer

from preview.cli import options as o
from preview.settings import (
    BACKDROP,
    DISTANCE,
    ELEVATION,
    FRAMES,
    LAMP,
    LUX,
    RENDERER,
    SIZE,
)


def paint(
    scheme: Annotated[Path, typer.Argument(help="scheme file (TOML)", metavar="SCHEME")],
    mesh: o.Meshes = None,
    marks: o.MarksFile = None,
    out: o.Out = None,
    frames: o.Frames = int(FRAMES.default),
    size: o.Size = int(SIZE.default),
    elevation: o.Elevation = ELEVATION.default,
    rig: o.RigName = None,
    spread: o.SpreadLight = None,
    lamp: o.LampName = LAMP,
    paint_only: o.PaintOnly = False,
    backdrop: o.BackdropName = BACKDROP,
    distance: o.Distance = DISTANCE.default,
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
    """Paint a mesh with a scheme, on a turntable."""
    from preview.cli.request import Request
    from preview.cli.summary import tell_painting

    out = out or Path(f"fourpot-{scheme.stem}")
    report = Request.of(locals(), distance=[distance]).paint(scheme, out)
    tell_painting(report, out, as_json, quiet)
