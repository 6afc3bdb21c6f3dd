"""The colour that the command line asks for: written, or picked from a picture."""

from __future__ import annotations

import re
from pathlib import Path

from preview.errors import UsageError
from preview.palette.picked import pick_colour
from preview.palette.wanted import Wanted, read_colour

_AT = re.compile(r"\s*(-?\d{1,9})\s*[, ]\s*(-?\d{1,9})\s*")


def wanted_of(colour: str | None, picture: Path | None, at: str | None) -> Wanted:
    """The colour wanted.

    Parameters
    ----------
    colour : as written, or None where it is picked.
    picture, at : from where it is picked, "column,row"; both or neither.

    Raises
    ------
    UsageError : none or both of the ways, or a colour or place that is none.
    FileFault : the picture cannot be read.
    """
    where = "command line"
    if picture is None and at is not None:
        raise UsageError("--at needs a picture", where, "add --from PICTURE, or leave --at out")
    if picture is None and colour is None:
        raise UsageError("no colour was named", where, 'add "#8a4b2a", "lab 52 20 -10" or --from')
    if picture is None:
        return read_colour(str(colour))
    if colour is not None:
        raise UsageError("a colour and a picture were named", where, "leave one of the two out")
    place = _AT.fullmatch(at or "")
    if place is None:
        what = "--at is missing" if at is None else f'--at "{at}" is no place'
        raise UsageError(what, where, "write column,row in pixels: --at 412,288")
    return pick_colour(picture, int(place[1]), int(place[2]))
