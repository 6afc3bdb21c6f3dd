"""Where a rack file stands: by its path, beside the scheme, in given folders, or shipped."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from preview.errors import RackFault, choices_fix
from preview.files import typed
from preview.rack.paint import Rack
from preview.rack.text_file import read_text_file
from preview.shipped import shipped

# What every rack file has.
_PAINT = re.compile(r"^\s*(\[\[\s*paint\s*\]\]|paint\s*=)", re.MULTILINE)


def find_rack(name: str | Path, beside: Path | None = None, folders: Sequence[Path] = ()) -> Path:
    """The rack file that a name or path stands for.

    A path, or a name ending in .toml, is taken from the current folder or else from `beside`. A
    bare name is looked for beside the scheme, or in the current folder where no scheme asks, then
    in the folders given, then among the shipped racks; files that list no paints come last.

    Parameters
    ----------
    name : such as "harbour", "my-rack.toml" or a path.
    beside : the folder of the scheme, or a file in it.
    folders : more folders, in this order.

    Raises
    ------
    RackFault : there is no such rack; the nearest names are told.
    """
    text = str(name)
    places = _places(beside, folders)
    is_path = isinstance(name, Path) or text.endswith(".toml") or "/" in text or "\\" in text
    if is_path:
        candidates = [Path(text), *(place / text for place in places)]
    else:
        candidates = [place / f"{text}.toml" for place in places]
    there = sorted(filter(_is_there, candidates), key=_lists_no_paints)
    if there:
        return there[0]
    known = [path.stem for place in places for path in _racks_in(place)]
    near = choices_fix(Path(text).stem, sorted(set(known)))
    raise RackFault(f'no rack "{text}"', _looked_in(places), near)


def rack_as_typed(rack: Rack) -> str:
    """How to name a rack on the command line in the current folder: by its name if that finds it.

    Parameters
    ----------
    rack : read from a file; else its name is all there is.
    """
    if rack.path is None:
        return typed(rack.name)
    try:
        by_name = find_rack(rack.name).samefile(rack.path)
    except (RackFault, OSError):
        by_name = False
    return typed(rack.name if by_name else rack.path)


def racks_found(folders: Sequence[Path] = ()) -> list[str]:
    """Names of the racks in the current folder, those given, then of those that ship; each once."""
    found = [path.stem for place in _places(None, folders) for path in _racks_in(place)]
    return list(dict.fromkeys(found))


def _places(beside: Path | None, folders: Sequence[Path]) -> list[Path]:
    """Where racks are looked for, in order."""
    home = Path() if beside is None else beside
    return [home.parent if home.suffix == ".toml" else home, *folders, shipped("shared", "racks")]


def _is_there(path: Path) -> bool:
    """Whether something stands at a path; a path the system refuses is none."""
    try:
        return path.exists()
    except (OSError, ValueError):
        return False


def _racks_in(folder: Path) -> list[Path]:
    """The rack files of a folder; none when it is none."""
    found = sorted(folder.glob("*.toml")) if folder.is_dir() else []
    return [path for path in found if not _lists_no_paints(path)]


def _lists_no_paints(path: Path) -> bool:
    """Whether a file is no rack by its looks: a scheme, a marks file, or nothing one can read."""
    try:
        return not (path.is_file() and _PAINT.search(read_text_file(path, "rack file")))
    except (RackFault, OSError, ValueError):
        return True


def _looked_in(places: Sequence[Path]) -> str:
    """The folders that were searched."""
    here = ("the current folder" if place == Path() else str(place) for place in places)
    return "looked in " + ", ".join(here)
