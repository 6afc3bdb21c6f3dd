"""The test swatches of a paint: what it looked like, mixed in known parts with another paint."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from preview.optics.appearance import lab_from_reflectance
from preview.rack.colour import COLOUR_KEYS, read_colour
from preview.rack.paint import Tint
from preview.rack.place import Place, check_keys, shown, text_of

TINT_KEYS = ("with", "parts", *COLOUR_KEYS, "note")
MOST_PARTS = 10_000
_PARTS = re.compile(r"\s*([0-9]{1,5})\s*:\s*([0-9]{1,5})\s*", re.ASCII)


def read_tints(place: Place, table: Mapping[str, object], folder: Path) -> tuple[Tint, ...]:
    """All tints of one paint; those with faults are left out.

    Parameters
    ----------
    place : where the paint stands; collects the faults.
    table : the paint's entry as TOML gives it.
    folder : where reflectance files are looked for.
    """
    entries = table.get("tints", [])
    if not isinstance(entries, list):
        place.fault(f"tints must be a list, got {shown(entries)}", "write tints = [{ ... }, ...]")
        return ()
    read = [
        read_tint(place.at(f"tints[{number}]"), entry, folder)
        for number, entry in enumerate(entries, start=1)
    ]
    return tuple(tint for tint in read if tint is not None)


def read_tint(place: Place, entry: object, folder: Path) -> Tint | None:
    """One tint; None after a fault. Parameters as in `read_tints`."""
    if not isinstance(entry, Mapping):
        place.fault(f"a tint must be a table, got {shown(entry)}", "write { with = ..., ... }")
        return None
    before = len(place.faults)
    check_keys(place, entry, TINT_KEYS)
    partner = text_of(place, entry, "with")
    if not partner and "with" not in entry:
        place.fault("a tint needs the paint it was mixed with", 'write with = "..."')
    parts = _parts(place, entry.get("parts"))
    text_of(place, entry, "note")
    curve = read_colour(place, entry, folder)
    if curve is None or len(place.faults) > before:
        return None
    return Tint(partner, parts, lab_from_reflectance(curve))


def _parts(place: Place, value: object) -> tuple[int, int]:
    """Parts of the paint and of its partner, such as "1:9"."""
    found = _PARTS.fullmatch(value) if isinstance(value, str) else None
    parts = (int(found[1]), int(found[2])) if found else (0, 0)
    if not all(1 <= part <= MOST_PARTS for part in parts):
        place.fault(
            f"parts must be two whole numbers from 1 to {MOST_PARTS}, "
            f"got {'none' if value is None else shown(value)}",
            'write "1:9" for one drop of the paint to nine of the other',
        )
        return 1, 1
    return parts
