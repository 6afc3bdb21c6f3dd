"""fourpot pairs: what each warm pot of a rack makes with each cold one."""

from __future__ import annotations

from typing import Annotated

import typer

from preview.cli import options as o
from preview.settings import TOP


def pairs(
    rack: Annotated[str, typer.Argument(help="a rack's name or file", metavar="RACK")],
    top: o.Top = int(TOP.default),
    out: o.Out = None,
    racks: o.Racks = None,
    overwrite: o.Overwrite = False,
    as_json: o.Json = False,
) -> None:
    """Tell what a rack's warm and cold paints make of each other."""
    from preview.cli.tell_pairs import pairs_report, tell_pairs
    from preview.palette.pairs import find_pairs
    from preview.rack.load import load_rack

    found = find_pairs(load_rack(rack, folders=tuple(racks or ())), int(TOP.check(top)))
    pictures: list[str] = []
    if out is not None:
        from preview.present.folder import fill_folder
        from preview.present.mixing_chart import mixing_charts
        from preview.publish import write_json

        with fill_folder(out, overwrite) as folder:
            for number, chart in enumerate(mixing_charts(found), start=1):
                pictures.append(f"pairs-{number}.png")
                chart.save(folder / pictures[-1])
            write_json(folder / "report.json", pairs_report(found, pictures))
    tell_pairs(found, pictures, out, as_json)
