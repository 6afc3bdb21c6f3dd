"""fourpot circle: where the paints of a rack stand on the painters' circle."""

from __future__ import annotations

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
    from preview.cli.tell_circle import circle_report, tell_circle
    from preview.palette.opposites import find_opposites
    from preview.palette.standing import round_the_circle, stand_on_circle
    from preview.rack.load import load_rack

    loaded = load_rack(rack, folders=tuple(racks or ()))
    standings = round_the_circle(stand_on_circle(loaded))
    opposites = find_opposites(standings)
    pictures: list[str] = []
    if out is not None:
        from preview.present.circle_sheet import circle_sheet
        from preview.present.folder import fill_folder
        from preview.present.opposites_sheet import opposites_sheets
        from preview.publish import write_json

        with fill_folder(out, overwrite) as folder:
            pages = {"circle.png": circle_sheet(loaded, standings)}
            for number, page in enumerate(opposites_sheets(loaded, standings, opposites), start=1):
                pages[f"opposites-{number}.png"] = page
            for name, page in pages.items():
                page.save(folder / name)
            pictures = list(pages)
            report = circle_report(loaded, standings, opposites, pictures)
            write_json(folder / "report.json", report)
    tell_circle(loaded, standings, opposites, pictures, out, as_json)
