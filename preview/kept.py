"""Costly results kept between runs, found again by what they were made from."""

from __future__ import annotations

import hashlib
import os
import re
import zipfile
import zlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from preview import __version__
from preview.errors import WriteFault
from preview.files import write_whole

SWITCH = "FOURPOT_CACHE"
# What views saw is plenty and cheap to find again; it must not push out the rest.
MOST_BYTES = {"look": 768 << 20, "sculpt": 384 << 20, "light": 384 << 20}
_OURS = re.compile(r"(look|sculpt|light)-[0-9a-f]{32}\.npz")

# What NumPy and zipfile raise for an archive that is cut short, overwritten, marked as packed in a
# way they don't know (a RuntimeError, the last), or none at all.
_BROKEN = (
    OSError,
    ValueError,
    KeyError,
    EOFError,
    TypeError,
    zipfile.BadZipFile,
    zlib.error,
    RuntimeError,
)

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
    """32 hexadecimal digits that stand for settings, told apart by their repr, and arrays.

    The version of the package counts, too: another one may find other results.
    """
    digest = hashlib.blake2b(repr((__version__, settings)).encode(), digest_size=16)
    for array in arrays:
        digest.update(repr((array.shape, array.dtype.str)).encode())
        digest.update(np.ascontiguousarray(array).data)
    return digest.hexdigest()


def found(folder: Path | None, name: str) -> dict[str, NDArray[Any]] | None:
    """The arrays kept under a name, or None when there are none or the entry is broken."""
    if folder is None:
        return None
    entry = folder / f"{name}.npz"
    try:
        with entry.open("rb") as file, np.load(file, allow_pickle=False) as held:
            arrays = {key: held[key] for key in held.files}
    except _BROKEN:
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


def bound(folder: Path, most_bytes: Mapping[str, int] = MOST_BYTES) -> None:
    """Remove the entries of each kind used longest ago until the rest fit; touch nothing else."""
    entries = []
    for path in folder.iterdir():
        ours = _OURS.fullmatch(path.name)
        if ours is not None:
            try:
                entries.append((path, ours.group(1), path.stat()))
            except FileNotFoundError:
                # Another run has removed it meanwhile.
                continue
    entries.sort(key=lambda entry: entry[2].st_mtime_ns, reverse=True)
    held = dict.fromkeys(most_bytes, 0)
    for path, kind, stat in entries:
        held[kind] += stat.st_size
        if held[kind] > most_bytes[kind]:
            path.unlink(missing_ok=True)
