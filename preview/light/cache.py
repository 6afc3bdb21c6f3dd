"""Baked light kept between runs."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.kept import cache_folder, found, keep, key_of
from preview.light.bake import bake
from preview.light.lightmap import LightMap, Rig
from preview.progress import Progress, silent

VERSION = 3
_TERMS = ("sky", "key", "recess", "edge")


def baked(
    sculpt: Sculpt,
    rig: Rig,
    progress: Progress = silent,
    folder: Path | None = None,
) -> LightMap:
    """The raw painted light of a sculpt, from the cache when it holds it, else baked and kept.

    Parameters
    ----------
    sculpt, rig, progress : as for `bake`.
    folder : where to keep it; None takes that of `preview.kept.cache_folder`.

    Notes
    -----
    The entry's name is a hash of the vertices, the faces, which of them can be seen, the rig's
    settings that reach the raw terms, and the version of the bake. A broken entry is baked anew;
    a folder that cannot be written is done without.
    """
    folder = folder if folder is not None else cache_folder()
    entry = f"light-{light_key(sculpt, rig)}"
    kept = _checked(found(folder, entry), len(sculpt.faces))
    if kept is not None:
        return kept
    light = bake(sculpt, rig, progress)
    keep(folder, entry, {name: getattr(light, name) for name in _TERMS})
    return light


def light_key(sculpt: Sculpt, rig: Rig) -> str:
    """What the raw light depends on, as 32 hexadecimal digits."""
    settings = (VERSION, rig.key_azimuth_deg, rig.key_elevation_deg, rig.relief_mm)
    return key_of(settings, sculpt.vertices, sculpt.faces, sculpt.exposed)


def _checked(held: dict[str, NDArray[Any]] | None, faces: int) -> LightMap | None:
    """The light in an entry, or None when it is not that of a mesh of so many faces."""
    if held is None or any(name not in held for name in _TERMS):
        return None
    terms = [held[name] for name in _TERMS]
    if any(t.shape != (faces,) or t.dtype != np.float32 for t in terms):
        return None
    if not all(np.isfinite(t).all() and t.min() >= 0 and t.max() <= 1 for t in terms if len(t)):
        return None
    return LightMap(*terms)
