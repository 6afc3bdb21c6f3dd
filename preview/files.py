"""Files that are complete or absent: written beside their place, then renamed into it."""

from __future__ import annotations

import os
import shlex
import subprocess
import tempfile
from collections.abc import Callable
from pathlib import Path

from preview.errors import WriteFault


def typed(path: Path | str) -> str:
    """A path or a name as one types it on this system's command line: in quotes where need be."""
    text = str(path)
    return shlex.quote(text) if os.name == "posix" else subprocess.list2cmdline([text])


def write_whole(path: Path, write: Callable[[Path], None]) -> None:
    """Let `write` fill a file beside `path`, then rename it to `path` in one step.

    A file that is replaced hands on its permissions.

    Parameters
    ----------
    path : where the finished file shall stand; its folder must exist.
    write : is given the temporary path (same suffix) and fills it.

    Raises
    ------
    WriteFault : the folder cannot be written or the disk is full.
    """
    try:
        handle, name = tempfile.mkstemp(
            prefix=f".{path.stem}-", suffix=path.suffix, dir=path.parent
        )
        os.close(handle)
    except OSError as error:
        raise WriteFault(
            f"cannot write {path.name}: {error.strerror}",
            str(path.parent),
            "choose a folder that you may write to, with --out",
        ) from error
    beside = Path(name)
    try:
        write(beside)
        beside.chmod(path.stat().st_mode if path.exists() else 0o644)
        beside.replace(path)
    except OSError as error:
        raise WriteFault(
            f"cannot write {path.name}: {error.strerror}", str(path), "free some space or use --out"
        ) from error
    finally:
        beside.unlink(missing_ok=True)


def write_text_whole(path: Path, text: str) -> None:
    """Write `text` as UTF-8, complete or not at all; raises WriteFault."""

    def write(beside: Path) -> None:
        beside.write_text(text, encoding="utf-8", newline="\n")

    write_whole(path, write)


def refuse_to_replace(
    path: Path, overwrite: bool, fix: str = "name another file, or add --overwrite"
) -> None:
    """Raise WriteFault where something stands at `path` already, unless it may be replaced."""
    if path.exists() and not overwrite:
        raise WriteFault(f"{path} is there already", str(path), fix)
