"""fourpot mix: what whole drops of some paints look like."""

from typing import Annotated

import typer

from preview.cli import options as o


def mix(
    rack: Annotated[str, typer.Argument(help="a rack's name or file", metavar="RACK")],
    parts: Annotated[
        list[str],
        typer.Argument(help='such as "rust orange=2" "deep sea blue=1"', metavar="PAINT=DROPS ..."),
    ],
    out: o.Out = None,
    racks: o.Racks = None,
    overwrite: o.Overwrite = False,
    as_json: o.Json = False,
) -> None:
    """Show what a whole-drop mix looks like."""
    from preview.cli.drops import read_drops
    from preview.cli.summary import tell_mix
    from preview.palette_reports import mix_report
    from preview.present.folder import check_folder
    from preview.rack.load import load_rack

    if out is not None:
        check_folder(out, overwrite)
    loaded = load_rack(rack, folders=tuple(racks or ()))
    made = loaded.mix(read_drops(parts))
    if out is None:
        report = mix_report(loaded, made)
    else:
        from preview.publish_palette import publish_mix

        report = publish_mix(out, loaded, made, overwrite)
    tell_mix(made, report, out, as_json)
