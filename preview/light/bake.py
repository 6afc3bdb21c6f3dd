"""Bake painted light: the raw terms of each face, which depend on sculpt and rig alone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.light.directions import direction_of
from preview.light.key import key_light
from preview.light.lightmap import Levels, LightMap, Rig
from preview.light.relief import relief
from preview.light.sky import sky_light
from preview.progress import Progress, silent
from preview.shape.threads import at_once
from preview.shape.triangles import middles


@dataclass(frozen=True)
class Part:
    """Terms that are baked together, and what they depend on beside the sculpt.

    terms : names of fields of `LightMap`.
    settings : the settings of a rig that reach them.
    make : bakes them, each (faces seen,) float32 in [0, 1].
    """

    terms: tuple[str, ...]
    settings: Callable[[Rig], tuple[float, ...]]
    make: Callable[[Sculpt, Rig, Progress], tuple[Levels, ...]]


def bake(sculpt: Sculpt, rig: Rig, progress: Progress = silent) -> LightMap:
    """The raw terms of painted light on each face.

    Parameters
    ----------
    sculpt : the figure.
    rig : only its key direction and relief scale matter here; weights and spread come later.
    progress : told of every batch of sky directions.

    Returns
    -------
    light : sky, key, recess and edge, each (faces,) float32 in [0, 1]; 0 on hidden faces, which
        no light reaches.
    """
    terms: dict[str, Levels] = {}
    for made in at_once(*(partial(bake_part, part, sculpt, rig, progress) for part in PARTS)):
        terms |= made
    return LightMap(**terms)


def bake_part(
    part: Part, sculpt: Sculpt, rig: Rig, progress: Progress = silent
) -> dict[str, Levels]:
    """Some of the terms, by name; parameters as for `bake`."""
    made = part.make(sculpt, rig, progress)
    if sculpt.exposed.all():
        return dict(zip(part.terms, made, strict=True))
    whole = {term: np.zeros(len(sculpt.faces), np.float32) for term in part.terms}
    for term, levels in zip(part.terms, made, strict=True):
        whole[term][sculpt.exposed] = levels
    return whole


def _sky(sculpt: Sculpt, rig: Rig, progress: Progress) -> tuple[Levels, ...]:
    """How much of the sky each face sees."""
    faces, normals = _seen(sculpt)
    return (sky_light(middles(sculpt.vertices, faces), normals, sculpt, progress=progress),)


def _key(sculpt: Sculpt, rig: Rig, progress: Progress) -> tuple[Levels, ...]:
    """How much of the key light reaches each face."""
    faces, normals = _seen(sculpt)
    towards = direction_of(rig.key_azimuth_deg, rig.key_elevation_deg)
    return (key_light(middles(sculpt.vertices, faces), normals, sculpt.rays, towards),)


def _relief(sculpt: Sculpt, rig: Rig, progress: Progress) -> tuple[Levels, ...]:
    """How deep in a recess, and how sharp on an edge, each face lies."""
    faces, normals = _seen(sculpt)
    return relief(sculpt.vertices, faces, normals, sculpt.mm2[sculpt.exposed], rig.relief_mm)


def _seen(sculpt: Sculpt) -> tuple[NDArray[np.int32], Levels]:
    """The faces that can be seen, and their normals."""
    seen = np.flatnonzero(sculpt.exposed)
    return np.take(sculpt.faces, seen, axis=0), np.take(sculpt.normal, seen, axis=0)


PARTS = (
    Part(("sky",), lambda rig: (), _sky),
    Part(("key",), lambda rig: (rig.key_azimuth_deg, rig.key_elevation_deg), _key),
    Part(("recess", "edge"), lambda rig: (rig.relief_mm,), _relief),
)
