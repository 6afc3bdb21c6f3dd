"""A scheme file with other drops in some steps; comments, order and spacing stay."""

from __future__ import annotations

import os
import re
from collections.abc import MutableMapping, Sequence, Set
from pathlib import Path
from typing import Any

from preview.errors import SchemeFault
from preview.kept import key_of
from preview.ramp.drop_changes import DropChange
from preview.ramp.scheme import Scheme
from preview.ramp.toml_text import step_lines
from preview.ramp.words import AUTO, HIGHLIGHT_NAMES


def scheme_text(scheme: Scheme, changes: Sequence[DropChange], folder: Path) -> str:
    """The text of a scheme's file after changes, as it stands in another folder.

    Its title says that it is mended. A ramp by rule that is changed becomes one of explicit steps.

    Parameters
    ----------
    scheme : as loaded; its file is not touched.
    changes : one after the other.
    folder : where the text is to stand; files that the scheme names by a path are pointed at
        from there.

    Raises
    ------
    SchemeFault : the file cannot be read, or has no such step.
    """
    path = scheme.path
    table = _explicit(scheme, {change.ramp for change in changes})
    for change in changes:
        _change(table, change, path)
    table["title"] = f"{table.get('title', path.stem)}, mended"
    return _pointed_from(table, path.parent, folder)


def explicit_text(scheme: Scheme, folder: Path) -> str:
    """The text of a scheme's file with the drops of all its ramps by rule written out.

    Parameters and Raises as in `scheme_text`.
    """
    return _pointed_from(_explicit(scheme, set(scheme.ramps)), scheme.path.parent, folder)


def _explicit(scheme: Scheme, ramps: Set[str]) -> MutableMapping[str, Any]:
    """The file's top table, those of the ramps that go by rule with their steps written out.

    A rule is first marked by a text that stands nowhere else, and then its entry is written anew,
    as often as it has steps: so all around it stays as it was.
    """
    import tomlkit

    path = scheme.path
    try:
        text = path.read_text(encoding="utf-8-sig")
        table: MutableMapping[str, Any] = tomlkit.parse(text)
    except (OSError, ValueError) as error:
        raise SchemeFault(f"the scheme file cannot be read: {error}", str(path)) from error
    written = [name for name in sorted(ramps) if AUTO in table.get("ramps", {}).get(name, {})]
    marks = {f"by rule {n} {key_of(text)}": name for n, name in enumerate(written)}
    for mark, name in marks.items():
        rule = table["ramps"][name][AUTO]
        table["ramps"][name][AUTO] = mark
        _keep_comment(rule, table["ramps"][name][AUTO])
    dumped = tomlkit.dumps(table)
    for mark, name in marks.items():
        steps = step_lines({step.name: step.drops for step in scheme.ramps[name].steps})
        dumped = _written_out(dumped, mark, steps)
    return tomlkit.parse(dumped)


def _keep_comment(old: Any, new: Any) -> None:
    """Let a value take over the comment behind another one."""
    comment = getattr(getattr(old, "trivia", None), "comment", "")
    if comment:
        new.comment(comment.lstrip("# "))


def _written_out(text: str, mark: str, steps: Sequence[str]) -> str:
    """The text with the entry of a mark replaced by one entry per key of the steps."""
    entry = re.compile(rf"""^(?P<before>.*?)["']?{AUTO}["']?\s*=\s*"{mark}\"""", re.MULTILINE)
    found = entry.search(text)
    if found is None:
        raise ValueError("the mark of a rule is not in the text")
    before = found["before"]
    between = ", " if "{" in before else "\n" + before
    return text[: found.end("before")] + between.join(steps) + text[found.end() :]


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
    _keep_comment(old, new)
    return new


def _pointed_from(table: MutableMapping[str, Any], old: Path, new: Path) -> str:
    """The file's text, paths relative to its old folder made relative to the new one."""
    import tomlkit

    if old.resolve() == new.resolve():
        return tomlkit.dumps(table)
    for key in ("mesh", "marks", "rack"):
        value = table.get(key)
        if isinstance(value, list):
            for number, part in enumerate(value):
                value[number] = _moved(str(part), old, new)
        elif value is not None and (key != "rack" or _is_file(str(value), old)):
            table[key] = _moved(str(value), old, new)
    return tomlkit.dumps(table)


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
