"""fourpot circle: where the paints of a rack stand on the painters' circle."""

from typing import Annotated

import typer

from preview.cli import options as o


def circle(
    rack: Annotated[str, typer.Argument(help="a rack's name or file", metavar="RACK")],
    out: o.Out = None,
    racks: o.Racks = None,
    overwrite: o.Overwrite = False,
    as_json: o.Json = False,
) -> None:
    """Place a rack's paints on the painters' circle, with their opposites."""
    from preview.cli.tell_circle import tell_circle
    from preview.palette.opposites import find_opposites
    from preview.palette.standing import round_the_circle, stand_on_circle
    from preview.palette_reports import circle_report
    from preview.present.folder import check_folder
    from preview.rack.load import load_rack

    if out is not None:
        check_folder(out, overwrite)
    loaded = load_rack(rack, folders=tuple(racks or ()))
    standings = round_the_circle(stand_on_circle(loaded))
    opposites = find_opposites(standings)
    if out is None:
        report = circle_report(loaded, standings, opposites)
    else:
        from preview.publish_palette import publish_circle

        report = publish_circle(out, loaded, standings, opposites, overwrite)
    tell_circle(standings, opposites, report, out, as_json)
