"""fourpot ramp: shadow and highlight steps around a mid-tone."""

from typing import Annotated

import typer

from preview.cli import options as o
from preview.settings import STEPS


def ramp(
    rack: Annotated[
        str,
        typer.Argument(
            help="a rack's name or file, or a scheme whose pots to take", metavar="RACK|SCHEME"
        ),
    ],
    midtone: Annotated[
        list[str],
        typer.Argument(
            help='the mid-tone, pots by role or paint: "rust orange=2" cold=1',
            metavar="POT=DROPS ...",
        ),
    ],
    pot: Annotated[
        list[str] | None,
        o.repeated("--pots", 'a pot with its role, such as "cold=deep sea blue"', "ROLE=PAINT"),
    ] = None,
    steps: o.Steps = int(STEPS.default),
    out: o.Out = None,
    racks: o.Racks = None,
    overwrite: o.Overwrite = False,
    as_json: o.Json = False,
) -> None:
    """Find shadow and highlight steps around a mid-tone."""
    from preview.cli.pots import midtone_of, pots_of
    from preview.cli.tell_ramp import tell_ramp
    from preview.palette_reports import ramp_report
    from preview.present.folder import check_folder
    from preview.ramp.build import ramp_around

    STEPS.check(steps)
    if out is not None:
        check_folder(out, overwrite)
    shelf, pots = pots_of(rack, pot or (), tuple(racks or ()))
    drops = midtone_of(midtone, pots)
    made = ramp_around("ramp", shelf, pots, drops, steps)
    if out is None:
        report = ramp_report(shelf, pots, made)
    else:
        from preview.publish_palette import publish_ramp

        report = publish_ramp(out, shelf, pots, made, overwrite)
    tell_ramp(pots, made, report, out, as_json)
