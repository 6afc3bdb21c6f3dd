"""fourpot readability: which neighbouring areas can be told apart at the table."""

from pathlib import Path
from typing import Annotated

import typer

from preview.cli import options as o
from preview.settings import FRONT, LAMP, LUX, RENDERER, SIGHT_ELEVATION


def readability(
    scheme: Annotated[Path, typer.Argument(help="scheme file (TOML)", metavar="SCHEME")],
    mesh: o.Meshes = None,
    marks: o.MarksFile = None,
    out: o.Out = None,
    distance: o.Distances = None,
    lux: o.Lux = f"{LUX.default:g}",
    lamp: o.LampName = LAMP,
    eyes: o.EyesOf = None,
    sight_elevation: o.SightElevation = SIGHT_ELEVATION.default,
    front: o.Front = FRONT.default,
    no_advice: o.NoAdvice = False,
    mend: o.MendIt = False,
    fail_below: o.Grade = None,
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
    """Grade how neighbouring areas read at the table."""
    from preview.cli.request import Request, grade_named
    from preview.cli.tell_reading import tell_reading

    least = grade_named(fail_below)
    reading = Request.of(locals()).read(scheme, not no_advice, mend)
    tell_reading(reading, out, as_json, quiet)
    if least is not None and any(v.falls_short_of(least) for v in reading.verdicts):
        raise typer.Exit(1)
