"""fourpot readability: which neighbouring areas can be told apart at the table."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from preview.cli import options as o
from preview.settings import DISTANCE, LUX


def readability(
    scheme: Annotated[Path, typer.Argument(help="scheme file (TOML)", metavar="SCHEME")],
    mesh: o.Meshes = None,
    marks: o.MarksFile = None,
    out: o.Out = None,
    distance: o.Distance = DISTANCE.default,
    lux: o.Lux = LUX.default,
    fail_below: o.Grade = None,
    rig: o.RigName = None,
    spread: o.SpreadLight = None,
    renderer: o.RendererName = "auto",
    racks: o.Racks = None,
    unit: o.Unit = None,
    up: o.Up = None,
    figure_mm: o.FigureMm = None,
    overwrite: o.Overwrite = False,
    as_json: o.Json = False,
    quiet: o.Quiet = False,
) -> None:
    """Grade how neighbouring areas read at the table."""
    from preview.cli.request import Request, grade_named
    from preview.cli.summary import tell_readability

    least = grade_named(fail_below)
    request = Request(
        mesh=mesh, marks=marks, racks=racks, unit=unit, up=up, figure_mm=figure_mm, rig=rig,
        spread=spread,
        distance=distance, lux=lux, renderer=renderer, quiet=quiet or as_json,
    )  # fmt: skip
    _, several = request.judged([request.scheme(scheme)])
    if out is not None:
        from preview.publish import publish_verdict

        publish_verdict(out, several[0], overwrite)
    tell_readability(several[0], out, as_json)
    if least is not None and several[0].verdict.below(least):
        raise typer.Exit(1)
