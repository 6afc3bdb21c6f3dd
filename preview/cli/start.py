"""fourpot start: a scheme to begin from, for the areas of a mesh and the paints of a rack."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from preview.cli import options as o


def start(
    mesh: Annotated[
        list[Path], typer.Argument(help="the mesh, or all files of a kit", metavar="MESH ...")
    ],
    rack: Annotated[str, typer.Option("--rack", help="a rack's name or file", metavar="RACK")],
    out: o.Out = None,
    racks: o.Racks = None,
    unit: o.Unit = None,
    up: o.Up = None,
    figure_mm: o.FigureMm = None,
    overwrite: o.Overwrite = False,
    as_json: o.Json = False,
    quiet: o.Quiet = False,
) -> None:
    """Write a scheme to begin from for a mesh."""
    from preview.cli.request import Request
    from preview.cli.summary import tell_start
    from preview.publish import publish_start
    from preview.ramp.advice import advise

    request = Request(
        mesh=mesh, racks=racks, unit=unit, up=up, figure_mm=figure_mm, quiet=quiet or as_json
    )
    written = publish_start(request.sculpt(), mesh, rack, request.racks or (), out, overwrite)
    scheme = request.scheme(written)
    advice = [found.sentence for found in advise(scheme) if not found.fine]
    tell_start(written, advice, as_json)
