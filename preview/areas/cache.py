"""Sculpts kept between runs: what was found out about a file need not be found out twice."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import asdict, fields
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from preview.areas.placing import Wish
from preview.areas.sculpt import Placement, Sculpt
from preview.areas.soup import Soup
from preview.kept import cache_folder, found, keep, key_of

VERSION = 2
_ARRAYS = {
    "vertices": np.float32,
    "faces": np.int32,
    "area": np.int32,
    "source_face": np.int64,
    "exposed": np.bool_,
}
_SAID = {"area_names", "placement", "areas_from", "repairs", "warnings"}


def sculpt_kept(
    name: str,
    soup: Soup,
    wish: Wish,
    make: Callable[[], Sculpt],
    folder: Path | None = None,
) -> Sculpt:
    """The sculpt that `make` gives, from the cache when it was made of the same before.

    Parameters
    ----------
    name, soup, wish : all that the sculpt is made from.
    folder : where to keep it; None takes that of `preview.kept.cache_folder`.
    """
    folder = folder if folder is not None else cache_folder()
    if folder is None:
        return make()
    entry = f"sculpt-{sculpt_key(name, soup, wish)}"
    kept = _checked(name, found(folder, entry))
    if kept is not None:
        return kept
    sculpt = make()
    said = {
        "area_names": sculpt.area_names,
        "placement": asdict(sculpt.placement),
        "areas_from": sculpt.areas_from,
        "repairs": sculpt.repairs,
        "warnings": sculpt.warnings,
    }
    arrays = {key: getattr(sculpt, key) for key in _ARRAYS}
    keep(folder, entry, {**arrays, "said": np.array(json.dumps(said))})
    return sculpt


def _said(text: NDArray[Any]) -> dict[str, Any] | None:
    """What an entry says in words, or None when it says nothing that makes sense."""
    try:
        said = json.loads(str(text))
    except ValueError:
        return None
    if not isinstance(said, dict) or set(said) != _SAID:
        return None
    placement = said["placement"]
    known = {field.name for field in fields(Placement)}
    return said if isinstance(placement, dict) and set(placement) == known else None


def sculpt_key(name: str, soup: Soup, wish: Wish) -> str:
    """What a sculpt depends on, as 32 hexadecimal digits."""
    labels = [(label.kind, label.names) for label in soup.labels]
    told = soup.unit, soup.up, soup.notes, soup.warnings
    said = (VERSION, name, soup.source_count, labels, told, wish)
    parts = [label.of_face for label in soup.labels]
    return key_of(said, soup.vertices, soup.faces, soup.source_face, *parts)


def _checked(name: str, held: dict[str, NDArray[Any]] | None) -> Sculpt | None:
    """The sculpt in an entry, or None when it is not one."""
    if held is None or any(key not in held for key in (*_ARRAYS, "said")):
        return None
    if any(held[key].dtype != kind for key, kind in _ARRAYS.items()):
        return None
    faces, vertices = held["faces"], held["vertices"]
    if faces.ndim != 2 or faces.shape[1] != 3 or vertices.ndim != 2 or vertices.shape[1] != 3:
        return None
    count = len(faces)
    if any(held[key].shape != (count,) for key in ("area", "source_face", "exposed")):
        return None
    said = _said(held["said"])
    if said is None or not count or faces.min() < 0 or faces.max() >= len(vertices):
        return None
    if not np.isfinite(vertices).all() or held["area"].min() < 0:
        return None
    if held["area"].max() >= len(said["area_names"]):
        return None
    return Sculpt(
        name=name,
        area_names=tuple(said["area_names"]),
        placement=Placement(**said["placement"]),
        areas_from=said["areas_from"],
        repairs=tuple(said["repairs"]),
        warnings=tuple(said["warnings"]),
        **{key: held[key] for key in _ARRAYS},
    )
