"""fourpot choose: which four pots of a rack."""

from typing import Annotated

import typer

from preview.cli import options as o
from preview.settings import COUNT, DIFFER, RENDERER, SECONDS


def choose(
    rack: Annotated[str, typer.Argument(help="a rack's name or file", metavar="RACK")],
    mesh: o.Meshes = None,
    marks: o.MarksFile = None,
    out: o.Out = None,
    wanted: o.With = None,
    unwanted: o.Without = None,
    missing: o.Missing = None,
    want: o.Want = None,
    weight: o.Weight = None,
    define: o.Define = None,
    count: o.Count = int(COUNT.default),
    differ: o.Differ = int(DIFFER.default),
    seconds: o.Seconds = SECONDS.default,
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
    """Rank the sets of four pots that a rack offers."""
    from preview.cli.choose_request import ChooseRequest
    from preview.cli.tell_choice import tell_choice

    tell_choice(ChooseRequest.of(locals()).choose(), out, as_json, quiet)
