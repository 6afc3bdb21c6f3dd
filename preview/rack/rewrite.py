"""A rack file's own text with a calibration in it; comments and order stay as they are."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

DIGITS = 4


def calibrated_text(
    text: str,
    name: str,
    curve: Sequence[float],
    tint: Mapping[str, Any] | None,
    afresh: bool,
    reference: str,
) -> str:
    """The text of a rack file after the calibration of one paint.

    Parameters
    ----------
    text : of a rack file that can be read.
    name : of the paint.
    curve : its three numbers of scattering.
    tint : the new entry of its `tints`; None to leave them as they are.
    afresh : whether the older tints go.
    reference : the white that the scattering of all is relative to, or "" where the file says
        that already.
    """
    import tomlkit

    document: Any = tomlkit.parse(text)
    for paint in document["paint"]:
        if paint["name"] == name:
            if tint is not None:
                _add_tint(paint, tint, afresh)
            _set(paint, "scattering", [round(number, DIGITS) + 0.0 for number in curve])
        elif paint["name"] == reference:
            _set(paint, "scattering", [0.0, 0.0, 0.0])
    written = tomlkit.dumps(document)
    newline = "\r\n" if "\r\n" in text else "\n"
    return newline.join(written.splitlines()) + newline


def moved_text(text: str, old: Path, new: Path) -> str:
    """The text of a rack file for another folder: reflectance files are named from there.

    Parameters
    ----------
    old, new : the folders.
    """
    import tomlkit

    document: Any = tomlkit.parse(text)
    for paint in document["paint"]:
        for entry in (paint, *paint.get("tints", [])):
            if "reflectance" in entry:
                entry["reflectance"] = path_from(new, old / str(entry["reflectance"]))
    return str(tomlkit.dumps(document))


def path_from(folder: Path, file: Path) -> str:
    """A file as named from a folder; whole where the two stand on different drives."""
    try:
        return Path(os.path.relpath(file, folder)).as_posix()
    except ValueError:
        return file.resolve().as_posix()


def _add_tint(paint: Any, tint: Mapping[str, Any], afresh: bool) -> None:
    """Put a tint before the older ones, or in place of them."""
    import tomlkit

    if isinstance(paint.get("tints"), tomlkit.items.AoT):
        _add_table(paint["tints"], tint, afresh)
        return
    row = tomlkit.inline_table()
    row.update(tint)
    if "tints" in paint and not afresh:
        paint["tints"].insert(0, row)
        return
    rows = tomlkit.array()
    rows.append(row)
    if "tints" in paint:
        del paint["tints"]
    _set(paint, "tints", rows.multiline(True))


def _add_table(tables: Any, tint: Mapping[str, Any], afresh: bool) -> None:
    """The same where each tint is a [[paint.tints]]; the last one carries what follows it."""
    if not afresh:
        tables.insert(0, dict(tint))
        return
    while len(tables) > 1:
        del tables[0]
    last = tables[0]
    for key in list(last):
        del last[key]
    for key, value in tint.items():
        _set(last, key, value)


def _set(paint: Any, key: str, value: Any) -> None:
    """Set a key; a new one stands after the last one, before the comment on what follows."""
    if key in paint or not hasattr(paint.value, "body"):
        paint[key] = value
        return
    body = paint.value.body
    last = max((n for n, (name, _) in enumerate(body) if name is not None), default=-1)
    after = body[last + 1 :]
    del body[last + 1 :]
    paint[key] = value
    body.extend(after)
