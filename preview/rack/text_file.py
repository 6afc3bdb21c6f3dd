"""A text file that a user names, read whole or refused with a reason."""

from __future__ import annotations

from pathlib import Path

from preview.errors import RackFault

MOST_BYTES = 20_000_000


def read_text_file(path: Path, what: str, asked_by: str = "") -> str:
    """The text of a file, UTF-8 with or without a byte order mark.

    Parameters
    ----------
    path : the file.
    what : what it should be, for the message, such as "rack file".
    asked_by : the place that names the file, for the message.

    Raises
    ------
    RackFault : it is missing, a folder, too large, no text, or may not be read.
    """
    where = f"{asked_by}, {path}" if asked_by else str(path)
    try:
        if path.is_dir():
            raise RackFault(f"a folder is no {what}", where, f"name the {what} itself")
        if path.exists() and not path.is_file():
            raise RackFault(f"this is no ordinary file, so no {what}", where)
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise RackFault(
                f"too large for a {what}: {size / 1e6:.0f} MB, at most {MOST_BYTES / 1e6:.0f} MB",
                where,
                "check that this is the right file",
            )
        data = path.read_bytes()
    except FileNotFoundError as error:
        raise RackFault(f"there is no such {what}", where, "check name and folder") from error
    except (OSError, ValueError) as error:
        raise RackFault(f"the {what} cannot be read: {error}", where) from error
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise RackFault(
            f"the {what} is not UTF-8 text (byte {error.start + 1})",
            where,
            "save it as UTF-8 text, or check that it is the right file",
        ) from error
    if "\0" in text:
        raise RackFault(f"the {what} is binary, not text", where, "name a text file")
    return text
