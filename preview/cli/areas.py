"""fourpot areas: the areas of a mesh, listed and drawn."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from preview.cli import options as o


def areas(
    mesh: Annotated[
        list[Path],
        typer.Argument(help="STL, OBJ, 3MF, GLB or PLY; all files of a kit", metavar="MESH ..."),
    ],
    out: o.Out = None,
    renderer: o.RendererName = "auto",
    unit: o.Unit = None,
    up: o.Up = None,
    figure_mm: o.FigureMm = None,
    overwrite: o.Overwrite = False,
    as_json: o.Json = False,
    quiet: o.Quiet = False,
) -> None:
    """List the areas of a mesh, drawn with --out."""
    from preview.areas.listing import listing
    from preview.cli.request import Request
    from preview.cli.summary import tell_areas

    request = Request(
        mesh=mesh, unit=unit, up=up, figure_mm=figure_mm, renderer=renderer, quiet=quiet or as_json
    )
    sculpt = request.sculpt()
    report = listing(sculpt)
    if out is not None:
        from preview.publish import publish_areas

        publish_areas(out, sculpt, renderer, report, overwrite)
    tell_areas(report, out, as_json)
