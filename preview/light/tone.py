"""Tone: the level of painted light that chooses the step of a ramp."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.light.lightmap import Levels, LightMap, Rig
from preview.light.spread import spread_within_areas


def face_tone(light: LightMap, rig: Rig, sculpt: Sculpt) -> Levels:
    """The tone of each face: lights, relief, then spread within each area.

    The weighted mean of sky and key, less the recess, plus the edge, kept within [0, 1].

    Parameters
    ----------
    light : the raw terms, baked.
    rig : weights, and how far to spread.
    sculpt : areas, sizes, and which faces can be seen.

    Returns
    -------
    tone : (faces,) float32, in [0, 1].

    Raises
    ------
    ValueError : the rig's sky and key both weigh 0.
    """
    raw = raw_tone(light, rig)
    size = np.where(sculpt.exposed, sculpt.mm2, np.float32(0))
    return spread_within_areas(raw, sculpt.area, len(sculpt.area_names), size, rig.spread)


def raw_tone(light: LightMap, rig: Rig) -> Levels:
    """The tone before it is spread; (faces,) float32 in [0, 1]."""
    total = rig.sky + rig.key
    if total <= 0:
        raise ValueError("a rig needs sky or key above 0")
    tone = light.sky * np.float32(rig.sky / total) + light.key * np.float32(rig.key / total)
    tone -= np.float32(rig.recess) * light.recess
    tone += np.float32(rig.edge) * light.edge
    return np.clip(tone, 0.0, 1.0)


def corner_tone(tone: Levels, sculpt: Sculpt) -> Levels:
    """The tone at each corner of each face: the mean over its area's faces around that vertex.

    Faces count by their size; hidden ones only where no other touches the vertex. Pictures that
    blend corner tones are smooth inside an area and break off at its border.

    Parameters
    ----------
    tone : (faces,) float32.
    sculpt : faces and areas.

    Returns
    -------
    corners : (faces, 3) float32.
    """
    shared = _vertex_within_area(sculpt.faces, sculpt.area, len(sculpt.vertices))
    size = np.maximum(sculpt.mm2, np.float32(1e-9))
    size = np.where(sculpt.exposed, size, size * np.float32(1e-6)).astype(np.float64)
    count = int(shared.max()) + 1 if len(shared) else 0
    weight = np.zeros(count)
    total = np.zeros(count)
    for corner in range(3):
        weight += np.bincount(shared[:, corner], size, count)
        total += np.bincount(shared[:, corner], size * tone, count)
    mean = (total / np.where(weight > 0, weight, 1.0)).astype(np.float32)
    return mean[shared]


def _vertex_within_area(
    faces: NDArray[np.int32], area: NDArray[np.int32], vertices: int
) -> NDArray[np.int64]:
    """A number for each pair of vertex and area that meet, at each corner of each face."""
    owner = np.full(vertices, -1, np.int32)
    for corner in range(3):
        owner[faces[:, corner]] = area
    shared = faces.astype(np.int64)
    other = owner[faces] != area[:, None]
    pair = (shared * (int(area.max(initial=0)) + 1) + area[:, None])[other]
    _, number = np.unique(pair, return_inverse=True)
    shared[other] = vertices + number
    return shared
