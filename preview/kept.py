"""Costly results kept between runs, found again by what they were made from."""

from __future__ import annotations

import hashlib
import os
import zipfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from preview.errors import WriteFault
from preview.files import write_whole

SWITCH = "FOURPOT_CACHE"
MOST_BYTES = 1024 * 1024 * 1024

Arrays = Mapping[str, NDArray[Any]]


def cache_folder() -> Path | None:
    """Where results are kept, or None when that is switched off.

    The platform's cache folder, or the one that the environment variable FOURPOT_CACHE names;
    "off" keeps nothing.
    """
    told = os.environ.get(SWITCH, "")
    if told == "off":
        return None
    if told:
        return Path(told)
    from platformdirs import user_cache_path

    return user_cache_path("fourpot", appauthor=False)


def key_of(settings: object, *arrays: NDArray[Any]) -> str:
    """32 hexadecimal digits that stand for settings, told apart by their repr, and arrays."""
    digest = hashlib.sha256(repr(settings).encode())
    for array in arrays:
        digest.update(repr((array.shape, array.dtype.str)).encode())
        digest.update(np.ascontiguousarray(array).data)
    return digest.hexdigest()[:32]


def found(folder: Path | None, name: str) -> dict[str, NDArray[Any]] | None:
    """The arrays kept under a name, or None when there are none or the entry is broken."""
    if folder is None:
        return None
    entry = folder / f"{name}.npz"
    try:
        with entry.open("rb") as file, np.load(file, allow_pickle=False) as held:
            arrays = {key: held[key] for key in held.files}
    except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile):
        return None
    try:
        entry.touch()
    except OSError:
        # A cache that can be read but not written still serves.
        return arrays
    return arrays


def keep(folder: Path | None, name: str, arrays: Arrays) -> None:
    """Write an entry and drop those used longest ago beyond the bound, where that is allowed."""
    if folder is None:
        return

    def write(beside: Path) -> None:
        with beside.open("wb") as file:
            np.savez(file, allow_pickle=False, **dict(arrays))

    try:
        folder.mkdir(parents=True, exist_ok=True)
        write_whole(folder / f"{name}.npz", write)
        bound(folder)
    except (WriteFault, OSError):
        # Without a cache everything is computed each time; nothing else is lost.
        return


def bound(folder: Path, most_bytes: int = MOST_BYTES) -> None:
    """Remove the entries used longest ago until the rest fit."""
    entries = [(path, path.stat()) for path in folder.glob("*-*.npz")]
    entries.sort(key=lambda entry: entry[1].st_mtime_ns, reverse=True)
    held = 0
    for path, stat in entries:
        held += stat.st_size
        if held > most_bytes:
            path.unlink(missing_ok=True)
