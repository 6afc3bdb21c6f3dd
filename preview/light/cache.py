"""Baked light kept between runs, found again by what it was baked from."""

from __future__ import annotations

import hashlib
import os
import zipfile
from pathlib import Path

import numpy as np

from preview.areas.sculpt import Sculpt
from preview.errors import WriteFault
from preview.files import write_whole
from preview.light.bake import bake
from preview.light.lightmap import LightMap, Rig
from preview.progress import Progress, silent
from preview.shape.rays import RayScene

VERSION = 2
SWITCH = "FOURPOT_CACHE"
MOST_BYTES = 512 * 1024 * 1024
_TERMS = ("sky", "key", "recess", "edge")


def baked(
    sculpt: Sculpt,
    rig: Rig,
    scene: RayScene | None = None,
    progress: Progress = silent,
    folder: Path | None = None,
) -> LightMap:
    """The raw painted light of a sculpt, from the cache when it holds it, else baked and kept.

    Parameters
    ----------
    sculpt, rig, scene, progress : as for `bake`.
    folder : where to keep it; None takes the platform's cache folder, or the one that the
        environment variable FOURPOT_CACHE names ("off": keep nothing).

    Notes
    -----
    The entry's name is a hash of the vertices, the faces, which of them can be seen, the rig's
    settings that reach the raw terms, and the version of the bake. A broken entry is baked anew;
    a folder that cannot be written is done without.
    """
    folder = folder if folder is not None else cache_folder()
    if folder is None:
        return bake(sculpt, rig, scene, progress)
    entry = folder / f"light-{light_key(sculpt, rig)}.npz"
    kept = _read(entry, len(sculpt.faces))
    if kept is not None:
        return kept
    light = bake(sculpt, rig, scene, progress)
    _keep(entry, light)
    return light


def cache_folder() -> Path | None:
    """Where baked light is kept, or None when it is switched off."""
    told = os.environ.get(SWITCH, "")
    if told == "off":
        return None
    if told:
        return Path(told)
    from platformdirs import user_cache_path

    return user_cache_path("fourpot", appauthor=False)


def light_key(sculpt: Sculpt, rig: Rig) -> str:
    """What the raw light depends on, as 32 hexadecimal digits."""
    digest = hashlib.blake2b(digest_size=16)
    digest.update(
        repr((VERSION, rig.key_azimuth_deg, rig.key_elevation_deg, rig.relief_mm)).encode()
    )
    for array in (sculpt.vertices, sculpt.faces, sculpt.exposed):
        digest.update(repr((array.shape, array.dtype.str)).encode())
        digest.update(np.ascontiguousarray(array).data)
    return digest.hexdigest()


def _read(entry: Path, faces: int) -> LightMap | None:
    """The light in an entry, or None when there is none or it is broken."""
    try:
        with entry.open("rb") as file, np.load(file, allow_pickle=False) as held:
            terms = [held[name] for name in _TERMS]
    except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile):
        return None
    if any(t.shape != (faces,) or t.dtype != np.float32 for t in terms):
        return None
    if not all(np.isfinite(t).all() and t.min() >= 0 and t.max() <= 1 for t in terms if len(t)):
        return None
    try:
        entry.touch()
    except OSError:
        # A cache that can be read but not written still serves.
        return LightMap(*terms)
    return LightMap(*terms)


def _keep(entry: Path, light: LightMap) -> None:
    """Write an entry and drop the oldest ones beyond the folder's bound, where that is allowed."""

    def write(beside: Path) -> None:
        with beside.open("wb") as file:
            np.savez(file, **{name: getattr(light, name) for name in _TERMS})

    try:
        entry.parent.mkdir(parents=True, exist_ok=True)
        write_whole(entry, write)
        _bound(entry.parent)
    except (WriteFault, OSError):
        # Without a cache the light is baked each time; nothing else is lost.
        return


def _bound(folder: Path, most_bytes: int = MOST_BYTES) -> None:
    """Remove the entries used longest ago until the rest fit."""
    entries = [(path, path.stat()) for path in folder.glob("light-*.npz")]
    entries.sort(key=lambda entry: entry[1].st_mtime_ns, reverse=True)
    held = 0
    for path, stat in entries:
        held += stat.st_size
        if held > most_bytes:
            path.unlink(missing_ok=True)
