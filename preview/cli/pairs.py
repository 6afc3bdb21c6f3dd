"""fourpot pairs: what each warm pot of a rack makes with each cold one."""

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
    from preview.cli.tell_pairs import tell_pairs
    from preview.palette.pairs import find_pairs
    from preview.palette_reports import pairs_report
    from preview.present.folder import check_folder
    from preview.rack.load import load_rack

    if out is not None:
        check_folder(out, overwrite)
    found = find_pairs(load_rack(rack, folders=tuple(racks or ())), int(TOP.check(top)))
    if out is None:
        report = pairs_report(found)
    else:
        from preview.publish_palette import publish_pairs

        report = publish_pairs(out, found, overwrite)
    tell_pairs(found, report, out, as_json)
