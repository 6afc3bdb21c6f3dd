"""A rack file, whole: every fault told at once."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path

from preview.errors import RackFault, choices_fix
from preview.rack.entry import read_paint
from preview.rack.find import find_rack
from preview.rack.paint import Paint, Rack
from preview.rack.place import Place, check_keys, shown, text_of
from preview.rack.text_file import read_text_file

KEYS = ("title", "note", "paint")


def load_rack(name: str | Path, beside: Path | None = None, folders: Sequence[Path] = ()) -> Rack:
    """Find a rack and read it.

    Parameters
    ----------
    name : a rack's name, such as "harbour", or the path of a rack file (TOML).
    beside : the folder of the scheme that asks, or the scheme file.
    folders : more folders with racks.

    Returns
    -------
    Rack with at least one paint.

    Raises
    ------
    RackFault : there is no such rack, or it is faulty; all faults at once, each with its place,
        such as `rack.toml, paint[3] "bone white", bone.csv, 440 nm` (counted from 1).

    Examples
    --------
    >>> load_rack("harbour").mix({"rust orange": 2, "deep sea blue": 1}).certainty
    'estimate'
    """
    path = find_rack(name, beside, folders)
    top = _parsed(read_text_file(path, "rack file"), str(path))
    place = Place(path.name)
    check_keys(place, top, KEYS)
    title = text_of(place, top, "title", path.stem)
    text_of(place, top, "note")
    paints = _paints(place, top.get("paint"), path.parent)
    _check_partners(place, paints)
    if place.faults:
        raise RackFault.of(place.faults)
    return Rack(path.stem, paints, path, title)


def _parsed(text: str, where: str) -> dict[str, object]:
    """The file's top table."""
    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        said = "nested too deeply" if isinstance(error, RecursionError) else str(error)
        raise RackFault(
            f"the rack file is not valid TOML: {said}",
            where,
            'texts stand in quotes, as in name = "bone white"; every paint begins with [[paint]]',
        ) from error


def _paints(place: Place, entries: object, folder: Path) -> dict[str, Paint]:
    """All paints by name."""
    if not isinstance(entries, list) or not entries:
        place.fault("a rack needs at least one paint", "begin every paint with [[paint]]")
        return {}
    paints: dict[str, Paint] = {}
    first: dict[str, int] = {}
    for number, entry in enumerate(entries, start=1):
        if not isinstance(entry, dict):
            place.at(f"paint[{number}]").fault(f"a paint must be a table, got {shown(entry)}")
            continue
        name = entry.get("name")
        here = place.at(f"paint[{number}]" + (f' "{name}"' if isinstance(name, str) else ""))
        if isinstance(name, str) and name in first:
            here.fault(f"paint[{first[name]}] has the same name", "give every paint its own name")
        elif isinstance(name, str):
            first[name] = number
        paint = read_paint(here, entry, folder)
        if paint is not None:
            paints[paint.name] = paint
    return paints


def _check_partners(place: Place, paints: Mapping[str, Paint]) -> None:
    """Fault every tint that was mixed with no other paint of the rack."""
    if place.faults:
        return
    for paint in paints.values():
        for tint in paint.tints:
            if tint.partner not in paints or tint.partner == paint.name:
                others = [name for name in paints if name != paint.name]
                here = place.at(f'"{paint.name}", tints')
                here.fault(f'no other paint "{tint.partner}"', choices_fix(tint.partner, others))
