"""fourpot recipe: which whole drops come near a colour."""

from pathlib import Path
from typing import Annotated

import typer

from preview.cli import options as o
from preview.settings import DROPS


def recipe(
    rack: Annotated[str, typer.Argument(help="a rack's name or file", metavar="RACK")],
    colour: Annotated[
        str | None,
        typer.Argument(help='such as "#8a4b2a" or "lab 52 20 -10"', metavar="COLOUR"),
    ] = None,
    pot: Annotated[
        list[str] | None,
        o.repeated(
            "--pots", "a pot to mix from; leave it out for the best four of the rack", "PAINT"
        ),
    ] = None,
    drops: o.Drops = int(DROPS.default),
    picture: Annotated[
        Path | None,
        typer.Option("--from", help="pick the colour from this picture", metavar="PICTURE"),
    ] = None,
    at: Annotated[
        str | None,
        typer.Option(
            "--at", help="where in it, in pixels from the top left: 412,288", metavar="COLUMN,ROW"
        ),
    ] = None,
    out: o.Out = None,
    racks: o.Racks = None,
    overwrite: o.Overwrite = False,
    as_json: o.Json = False,
    quiet: o.Quiet = False,
) -> None:
    """Find the whole drops that come near a colour."""
    from preview.cli.tell_recipe import tell_recipe
    from preview.cli.terminal import listener, say
    from preview.cli.wanted import wanted_of
    from preview.palette.recipes import find_recipes, plan_search
    from preview.palette_reports import recipe_report
    from preview.present.folder import check_folder
    from preview.rack.load import load_rack

    if out is not None:
        check_folder(out, overwrite)
    loaded = load_rack(rack, folders=tuple(racks or ()))
    wanted = wanted_of(colour, picture, at)
    silent = quiet or as_json
    if not silent:
        say(str(plan_search(loaded, pot or (), drops)))
    found = find_recipes(loaded, wanted, pot or (), drops, listener(silent))
    if out is None:
        report = recipe_report(loaded, found)
    else:
        from preview.publish_palette import publish_recipe

        report = publish_recipe(out, loaded, found, overwrite)
    tell_recipe(loaded, found, report, out, as_json)
