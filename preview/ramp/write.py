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

    Its title says that it is mended.

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
    table["title"] = f"{table.get('title', path.stem)}, mended"
    _point_from(table, path.parent, folder)
    return tomlkit.dumps(table)


def _change(table: MutableMapping[str, Any], change: DropChange, path: Path) -> None:
    """Write the drops of one step, in place of what it has."""
    try:
        ramp = table["ramps"][change.ramp]
        lights = ramp.get("highlight")
        if change.step in HIGHLIGHT_NAMES and isinstance(lights, list):
            place = HIGHLIGHT_NAMES.index(change.step)
            lights[place] = _step(lights[place], change)
        else:
            ramp[change.step] = _step(ramp[change.step], change)
    except (KeyError, IndexError, TypeError) as error:
        where = f"{path}, ramps.{change.ramp}.{change.step}"
        raise SchemeFault("the scheme file has no such step", where) from error


def _step(old: MutableMapping[str, Any], change: DropChange) -> Any:
    """A step's table with other drops; a glaze stays one, a comment behind it stays, too."""
    import tomlkit

    if set(change.before) - set(old):
        raise KeyError(change.step)
    rest = {key: value for key, value in old.items() if key not in change.before}
    entries = [f"{word} = {count}" for word, count in change.after.items()]
    entries += [f"{key} = {tomlkit.item(value).as_string()}" for key, value in rest.items()]
    new = tomlkit.parse(f"x = {{ {', '.join(entries)} }}")["x"]
    comment = getattr(getattr(old, "trivia", None), "comment", "")
    if comment:
        new.comment(comment.lstrip("# "))
    return new


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
