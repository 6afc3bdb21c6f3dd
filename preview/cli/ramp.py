"""fourpot ramp: shadow and highlight steps around a mid-tone."""

from __future__ import annotations

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
        typer.Option(
            "--pots",
            help='a pot and its role, "cold=deep sea blue"; repeated',
            metavar="ROLE=PAINT",
        ),
    ] = None,
    steps: o.Steps = int(STEPS.default),
    out: o.Out = None,
    racks: o.Racks = None,
    overwrite: o.Overwrite = False,
    as_json: o.Json = False,
) -> None:
    """Find shadow and highlight steps around a mid-tone."""
    from preview.cli.pots import midtone_of, pots_of
    from preview.cli.tell_ramp import ramp_report, tell_ramp
    from preview.present.folder import check_folder, fill_folder
    from preview.present.ramp_strip import ramp_strip
    from preview.publish import write_json
    from preview.ramp.build import ramp_around

    STEPS.check(steps)
    if out is not None:
        check_folder(out, overwrite)
    shelf, pots = pots_of(rack, pot or (), tuple(racks or ()))
    drops = midtone_of(midtone, pots)
    made = ramp_around("ramp", shelf, pots, drops, steps)
    if out is not None:
        with fill_folder(out, overwrite) as folder:
            ramp_strip(shelf, pots, made).save(folder / "ramp.png")
            write_json(folder / "report.json", ramp_report(shelf, pots, made))
    tell_ramp(shelf, pots, made, out, as_json)
