"""Baked light kept between runs, each term by what it depends on."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.kept import cache_folder, found, keep, key_of
from preview.light.bake import PARTS, Part, bake_part
from preview.light.lightmap import Levels, LightMap, Rig
from preview.progress import Progress, silent
from preview.shape.threads import at_once

VERSION = 6


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
    An entry's name is a hash of the vertices, the faces, which of them can be seen, the settings
    of the rig that reach its terms, and the version of the bake: another rig finds the sky again.
    A broken entry is baked anew; a folder that cannot be written is done without.
    """
    folder = folder if folder is not None else cache_folder()
    mesh = key_of(VERSION, sculpt.vertices, sculpt.faces, sculpt.exposed)

    def terms_of(part: Part) -> dict[str, Levels]:
        entry = f"light-{part_key(part, mesh, rig)}"
        kept = _checked(found(folder, entry), part, len(sculpt.faces))
        if kept is None:
            kept = bake_part(part, sculpt, rig, progress)
            keep(folder, entry, kept)
        return kept

    terms: dict[str, Levels] = {}
    for some in at_once(*(partial(terms_of, part) for part in PARTS)):
        terms |= some
    return LightMap(**terms)


def part_key(part: Part, mesh: str, rig: Rig) -> str:
    """What some of the terms depend on, as 32 hexadecimal digits."""
    return key_of((mesh, part.terms, part.settings(rig)))


def _checked(
    held: dict[str, NDArray[Any]] | None, part: Part, faces: int
) -> dict[str, Levels] | None:
    """The terms in an entry, or None when they are not those of a mesh of so many faces."""
    if held is None or set(held) != set(part.terms):
        return None
    for term in held.values():
        if term.shape != (faces,) or term.dtype != np.float32:
            return None
        if not (np.isfinite(term).all() and term.min(initial=0) >= 0 and term.max(initial=0) <= 1):
            return None
    return held
