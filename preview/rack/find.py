"""Where a rack file stands: by its path, beside the scheme, in given folders, or shipped."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from preview.errors import RackFault, choices_fix
from preview.shipped import shipped


def find_rack(name: str | Path, beside: Path | None = None, folders: Sequence[Path] = ()) -> Path:
    """The rack file that a name or path stands for.

    A path, or a name ending in .toml, is taken from the current folder or else from `beside`. A
    bare name is looked for beside the scheme, then in the folders given, then among the shipped
    racks.

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
    for candidate in candidates:
        if _is_there(candidate):
            return candidate
    known = [path.stem for place in places for path in _racks_in(place)]
    near = choices_fix(Path(text).stem, sorted(set(known)))
    raise RackFault(f'no rack "{text}"', _looked_in(places), near)


def racks_found(folders: Sequence[Path] = ()) -> list[str]:
    """Names of the racks in the given folders, then of those that ship; each once."""
    found = [path.stem for place in _places(None, folders) for path in _racks_in(place)]
    return list(dict.fromkeys(found))


def _places(beside: Path | None, folders: Sequence[Path]) -> list[Path]:
    """Where racks are looked for, in order."""
    home = beside.parent if beside is not None and beside.suffix == ".toml" else beside
    return [*([home] if home is not None else []), *folders, shipped("shared", "racks")]


def _is_there(path: Path) -> bool:
    """Whether something stands at a path; a path the system refuses is none."""
    try:
        return path.exists()
    except (OSError, ValueError):
        return False


def _racks_in(folder: Path) -> list[Path]:
    """The rack files of a folder; none when it is none."""
    return sorted(folder.glob("*.toml")) if folder.is_dir() else []


def _looked_in(places: Sequence[Path]) -> str:
    """The folders that were searched."""
    return "looked in " + ", ".join(str(place) for place in places)
