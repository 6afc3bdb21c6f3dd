"""fourpot scheme: a scheme's pots and steps in drops, and its ramps by rule written out."""

from pathlib import Path
from typing import Annotated

import typer

from preview.cli import options as o


def scheme(
    path: Annotated[Path, typer.Argument(help="a scheme file", metavar="SCHEME")],
    write_out: Annotated[
        Path | None,
        typer.Option(
            "--write-out", help="write it with every ramp by rule as explicit drops", metavar="FILE"
        ),
    ] = None,
    racks: o.Racks = None,
    overwrite: o.Overwrite = False,
    as_json: o.Json = False,
) -> None:
    """Show a scheme's pots and the drops of every step."""
    from preview.cli.tell_ramp import tell_scheme
    from preview.files import refuse_to_replace, write_text_whole
    from preview.ramp.load import load_scheme
    from preview.ramp.write import explicit_text

    if write_out is not None:
        refuse_to_replace(write_out, overwrite)
    loaded = load_scheme(path, tuple(racks or ()))
    if write_out is not None:
        write_text_whole(write_out, explicit_text(loaded, write_out.parent))
    tell_scheme(loaded, write_out, as_json)
