"""What views see, kept between runs: new drops in a scheme need no new look at the sculpt."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.kept import found, keep, key_of
from preview.paint.lamp import Lamp
from preview.paint.look import Look
from preview.render.seen import Seen
from preview.render.view import View

VERSION = 2
# A view of more samples is looked at anew: a turn of them would fill the cache.
MOST_SAMPLES = 600_000
_KINDS = {
    "pixel": np.int32,
    "weight": np.float32,
    "face": np.int32,
    "bary": np.float32,
    "depth": np.float32,
}


def sight_key(
    sculpt: Sculpt, corner_tone: NDArray[np.float32], travel: NDArray[np.float32], renderer: str
) -> str:
    """What all views of one sculpt in one painted light have in common, as hexadecimal digits.

    Parameters
    ----------
    corner_tone, travel : as for `preview.render.adaptive.ways_of`.
    renderer : its name and driver.
    """
    return key_of(
        (VERSION, renderer), sculpt.vertices, sculpt.faces, sculpt.area, corner_tone, travel
    )


def name_of(key: str, view: View, lamp: Lamp | None) -> str:
    """The entry of one view; of the lamp only its direction matters."""
    towards = None if lamp is None else (lamp.right_deg, lamp.above_deg)
    return f"look-{key_of((key, view, towards))}"


def look_kept(
    folder: Path | None, name: str, view: View, faces: int
) -> tuple[Seen, NDArray[np.bool_]] | None:
    """What a view saw, and which samples are shaded; None when it is not kept, or broken."""
    held = found(folder, name)
    if held is None or not _sound(held, view, faces):
        return None
    return Seen(view, **{key: held[key] for key in _KINDS}), held["shaded"]


def keep_look(folder: Path | None, name: str, look: Look) -> None:
    """Keep what a view saw, unless it is very large."""
    seen = look.seen
    if len(seen.pixel) > MOST_SAMPLES:
        return
    arrays = {f.name: getattr(seen, f.name) for f in fields(Seen) if f.name in _KINDS}
    shaded = np.zeros(len(seen.pixel), np.bool_) if look.lit is None else look.lit.shaded
    keep(folder, name, {**arrays, "shaded": shaded})


def _sound(held: dict[str, NDArray[Any]], view: View, faces: int) -> bool:
    """Whether an entry can be what a view saw of a mesh of so many faces."""
    if set(held) != {*_KINDS, "shaded"} or held["shaded"].dtype != np.bool_:
        return False
    if any(held[key].dtype != kind for key, kind in _KINDS.items()):
        return False
    if held["pixel"].ndim != 1 or held["bary"].ndim != 2:
        return False
    count = len(held["pixel"])
    shapes = {key: (count, 2) if key == "bary" else (count,) for key in held}
    if any(held[key].shape != shape for key, shape in shapes.items()):
        return False
    return bool(
        not count
        or (
            held["face"].min() >= 0
            and held["face"].max() < faces
            and held["pixel"].min() >= 0
            and held["pixel"].max() < view.width * view.height
            and all(np.isfinite(held[key]).all() for key in ("weight", "bary", "depth"))
        )
    )
