"""fourpot areas: the areas of a mesh, listed, proposed, marked, drawn, exported."""

from pathlib import Path
from typing import Annotated

import typer

from preview.cli import options as o
from preview.settings import RENDERER

MARKS_SUFFIX = ".toml"


def areas(
    files: Annotated[
        list[Path],
        typer.Argument(
            help="STL, OBJ, 3MF, GLB or PLY, all files of a kit; and a marks file (TOML)",
            metavar="MESH ... [MARKS]",
        ),
    ],
    propose: o.Propose = None,
    mirror: Annotated[
        bool | None,
        typer.Option(
            "--mirror/--no-mirror",
            help="propose with both sides going by one number, or not; usually as the figure is",
        ),
    ] = None,
    update: Annotated[
        bool, typer.Option("--update", help="write places for pixels into the marks file itself")
    ] = False,
    export: Annotated[
        Path | None,
        typer.Option(
            "--export", help="the mesh with its areas: 3MF, OBJ, GLB, PLY", metavar="FILE"
        ),
    ] = None,
    out: o.Out = None,
    renderer: o.RendererName = RENDERER,
    unit: o.Unit = None,
    up: o.Up = None,
    figure_mm: o.FigureMm = None,
    turn: o.Turn = None,
    overwrite: o.Overwrite = False,
    as_json: o.Json = False,
    quiet: o.Quiet = False,
) -> None:
    """List, propose or mark the areas of a mesh."""
    from preview.cli.areas_request import AreasRequest
    from preview.cli.request import Request
    from preview.cli.summary import tell_areas

    told = [path for path in files if path.suffix.lower() == MARKS_SUFFIX]
    mesh = [path for path in files if path.suffix.lower() != MARKS_SUFFIX]
    asked = AreasRequest.of(locals(), request=Request.of(locals()), marks=told)
    tell_areas(asked.done(), out, as_json, quiet, asked.next_command)
