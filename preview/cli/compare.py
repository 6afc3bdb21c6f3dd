"""fourpot compare: several schemes on one mesh, side by side."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from preview.cli import options as o
from preview.settings import ELEVATION, LUX

_SIZE, _FRAMES = 480, 24


def compare(
    schemes: Annotated[
        list[Path], typer.Argument(help="two scheme files or more (TOML)", metavar="SCHEME ...")
    ],
    mesh: o.Meshes = None,
    marks: o.MarksFile = None,
    out: o.Out = None,
    frames: o.Frames = _FRAMES,
    size: o.Size = _SIZE,
    elevation: o.Elevation = ELEVATION.default,
    rig: o.RigName = None,
    spread: o.SpreadLight = None,
    lamp: o.LampName = "D65",
    paint_only: o.PaintOnly = False,
    distance: o.Distances = None,
    eyes: o.EyesOf = None,
    lux: o.Lux = f"{LUX.default:g}",
    renderer: o.RendererName = "auto",
    racks: o.Racks = None,
    unit: o.Unit = None,
    up: o.Up = None,
    figure_mm: o.FigureMm = None,
    overwrite: o.Overwrite = False,
    as_json: o.Json = False,
    quiet: o.Quiet = False,
) -> None:
    """Set several schemes side by side."""
    from preview.cli.request import Request
    from preview.cli.summary import tell_comparison

    request = Request(
        mesh=mesh, marks=marks, racks=racks, unit=unit, up=up, figure_mm=figure_mm, rig=rig,
        spread=spread,
        lamp=lamp, paint_only=paint_only, frames=frames, size=size, elevation=elevation,
        distance=distance, lux=lux, eyes=eyes, renderer=renderer, quiet=quiet,
    )  # fmt: skip
    target = out or Path("fourpot-compare")
    report = request.compare(schemes, target, overwrite)
    tell_comparison(report, target, as_json, quiet)
