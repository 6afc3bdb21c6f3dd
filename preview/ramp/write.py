"""A scheme file with other drops in some steps; comments, order and spacing stay."""

from __future__ import annotations

import os
from collections.abc import MutableMapping, Sequence
from pathlib import Path
from typing import Any

from preview.errors import SchemeFault
from preview.ramp.drop_changes import DropChange
from preview.ramp.words import HIGHLIGHT_NAMES


def scheme_text(path: Path, changes: Sequence[DropChange], folder: Path) -> str:
    """The text of a scheme file after changes, as it stands in another folder.

    Parameters
    ----------
    path : the file as it is; it is not touched.
    changes : one after the other.
    folder : where the text is to stand; files that the scheme names by a path are pointed at
        from there.

    Raises
    ------
    SchemeFault : the file cannot be read, or has no such step.
    """
    import tomlkit

    try:
        table: MutableMapping[str, Any] = tomlkit.parse(path.read_text(encoding="utf-8-sig"))
    except (OSError, ValueError) as error:
        raise SchemeFault(f"the scheme file cannot be read: {error}", str(path)) from error
    for change in changes:
        _change(table, change, path)
    _point_from(table, path.parent, folder)
    return tomlkit.dumps(table)


def _change(table: MutableMapping[str, Any], change: DropChange, path: Path) -> None:
    """Write the drops of one step."""
    try:
        step = _step(table["ramps"][change.ramp], change.step)
        for word in change.before:
            if word not in change.after:
                del step[word]
        for word, count in change.after.items():
            step[word] = count
    except (KeyError, IndexError, TypeError) as error:
        where = f"{path}, ramps.{change.ramp}.{change.step}"
        raise SchemeFault("the scheme file has no such step", where) from error


def _step(ramp: MutableMapping[str, Any], name: str) -> MutableMapping[str, Any]:
    """The table of one step; highlights may stand in a list."""
    if name not in HIGHLIGHT_NAMES:
        step: MutableMapping[str, Any] = ramp[name]
        return step
    lights = ramp["highlight"]
    place = HIGHLIGHT_NAMES.index(name)
    found: MutableMapping[str, Any] = lights[place] if isinstance(lights, list) else lights
    return found


def _point_from(table: MutableMapping[str, Any], old: Path, new: Path) -> None:
    """Let paths that are relative to the old folder be relative to the new one."""
    if old.resolve() == new.resolve():
        return
    for key in ("mesh", "marks", "rack"):
        value = table.get(key)
        if isinstance(value, list):
            for number, part in enumerate(value):
                value[number] = _moved(str(part), old, new)
        elif value is not None and (key != "rack" or _is_file(str(value), old)):
            table[key] = _moved(str(value), old, new)


def _is_file(rack: str, folder: Path) -> bool:
    """Whether a rack's word stands for a file beside the scheme."""
    named = rack.endswith(".toml") or "/" in rack or "\\" in rack
    return (folder / (rack if named else f"{rack}.toml")).is_file()


def _moved(name: str, old: Path, new: Path) -> str:
    """A file's path as seen from another folder; an absolute one stays."""
    if Path(name).is_absolute():
        return name
    target = old / name
    if not target.exists() and (old / f"{name}.toml").exists():
        target = old / f"{name}.toml"
    return Path(os.path.relpath(target.resolve(), new.resolve())).as_posix()
