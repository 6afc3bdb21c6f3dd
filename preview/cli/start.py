"""fourpot start: a scheme to begin from, for the areas of a mesh and the paints of a rack."""

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from preview.cli import options as o
from preview.errors import UsageError, in_quotes
from preview.files import typed


def start(
    mesh: Annotated[
        list[Path], typer.Argument(help="the mesh, or all files of a kit", metavar="MESH ...")
    ],
    rack: Annotated[
        str | None, typer.Option("--rack", help="a rack's name or file; needed", metavar="RACK")
    ] = None,
    marks: o.MarksFile = None,
    out: o.Out = None,
    racks: o.Racks = None,
    unit: o.Unit = None,
    up: o.Up = None,
    figure_mm: o.FigureMm = None,
    turn: o.Turn = None,
    overwrite: o.Overwrite = False,
    as_json: o.Json = False,
    quiet: o.Quiet = False,
) -> None:
    """Write a scheme to begin from for a mesh."""
    from preview.cli.request import Request
    from preview.cli.summary import tell_start
    from preview.publish import path_to_start, publish_start
    from preview.rack.find import rack_as_typed
    from preview.rack.load import load_rack
    from preview.ramp.advice import advise

    folders = tuple(racks or ())
    if rack is None:
        raise _no_rack(folders)
    request = Request.of(locals())
    path = path_to_start(mesh[0], out, overwrite)
    loaded = load_rack(rack, folders=folders)
    publish_start(path, request.sculpt(), mesh, rack, folders, marks)
    advice = [found.sentence for found in advise(request.scheme(path)) if not found.fine]
    figure = " ".join(f"--mesh {typed(file)}" for file in mesh)
    figure += f" --marks {typed(marks)}" if marks else ""
    tell_start(path, advice, f"fourpot choose {rack_as_typed(loaded)} {figure}", as_json, quiet)


def _no_rack(folders: Sequence[Path]) -> UsageError:
    """The refusal to begin without paints; names the racks that can be found."""
    from preview.rack.find import racks_found

    listed = in_quotes(racks_found(folders))
    return UsageError(
        "no rack was named", "command line", f"add --rack with a file of yours, or one of: {listed}"
    )
