"""fourpot calibrate: how strong a paint is in mixes, from tints of it."""

from pathlib import Path
from typing import Annotated

import typer

from preview.cli import options as o


def calibrate(
    rack: Annotated[str, typer.Argument(help="a rack's name or file", metavar="RACK")],
    paint: Annotated[str, typer.Argument(help="the paint to calibrate", metavar="PAINT")],
    partner: Annotated[
        str | None,
        typer.Option(
            "--with", help="the white of the tint, or a calibrated paint", metavar="PAINT"
        ),
    ] = None,
    parts: Annotated[
        str | None, typer.Option("--parts", help="drops of paint to white: 1:9", metavar="N:N")
    ] = None,
    srgb: Annotated[
        str | None, typer.Option("--srgb", help="the dry tint as #rrggbb", metavar="HEX")
    ] = None,
    lab: Annotated[
        str | None, typer.Option("--lab", help="the dry tint in CIELAB", metavar="L,a,b")
    ] = None,
    white: Annotated[
        str | None, typer.Option("--white", help="of --lab: D65 or D50", metavar="NAME")
    ] = None,
    observer: Annotated[
        int | None, typer.Option("--observer", help="of --lab: 2 or 10 degrees", metavar="DEGREES")
    ] = None,
    reflectance: Annotated[
        Path | None,
        typer.Option("--reflectance", help="measured tint, CSV or CGATS", metavar="FILE"),
    ] = None,
    sample: Annotated[
        str | None, typer.Option("--sample", help="which one of that file", metavar="NAME")
    ] = None,
    from_photo: Annotated[
        Path | None,
        typer.Option("--from-photo", help="photograph of the dry tint", metavar="PHOTO"),
    ] = None,
    swatch: Annotated[
        str | None,
        typer.Option("--swatch", help="the tint in it, pixels", metavar="X,Y,RADIUS"),
    ] = None,
    card: Annotated[
        str | None,
        typer.Option("--card", help="the grey card in it, pixels", metavar="X,Y,RADIUS"),
    ] = None,
    card_percent: Annotated[
        float | None,
        typer.Option("--card-percent", help="what the card reflects (18)", metavar="PERCENT"),
    ] = None,
    chart: Annotated[
        str | None,
        typer.Option("--chart", help="four corners of a 24-patch chart", metavar="X,Y,X,Y,X,Y,X,Y"),
    ] = None,
    afresh: Annotated[
        bool, typer.Option("--afresh", help="forget the paint's older tints")
    ] = False,
    sure: Annotated[
        bool, typer.Option("--sure", help="take a tint that one would look at again")
    ] = False,
    to: Annotated[
        Path | None, typer.Option("--to", help="write a copy of the rack", metavar="FILE")
    ] = None,
    out: o.Out = None,
    racks: o.Racks = None,
    overwrite: o.Overwrite = False,
    as_json: o.Json = False,
) -> None:
    """Calibrate a paint on a tint of it, for mixes one can trust."""
    from preview.cli.tell_calibration import tell_calibration
    from preview.cli.tint import TintRequest, tint_of
    from preview.publish_calibration import calibrate_paint, path_to_calibrate, publish_calibration
    from preview.rack.load import load_rack

    request = TintRequest.of(locals())
    loaded = load_rack(rack, folders=tuple(racks or ()))
    path_to_calibrate(loaded, to, overwrite)
    photographed = request.photographed()
    entry = request.entry(photographed)
    made = calibrate_paint(loaded, paint, None if entry is None else tint_of(entry), afresh, sure)
    report = publish_calibration(made, entry, afresh, to, overwrite, photographed, out)
    tell_calibration(report, out, as_json)
