"""Tone: the level of painted light that chooses the step of a ramp."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.light.lightmap import Levels, LightMap, Rig
from preview.light.spread import spread_within_areas
from preview.shape.compiled import compiled

# How much a hidden face counts beside one in sight: nothing that shows, yet not nothing.
_SHARE_OF_HIDDEN = 1e-6


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
    size = np.maximum(sculpt.mm2, np.float32(1e-9)).astype(np.float64)
    size[~sculpt.exposed] *= _SHARE_OF_HIDDEN
    corners = np.empty(shared.shape, np.float32)
    sums = np.zeros((int(shared.max(initial=-1)) + 1, 2))
    _average(shared, size, tone, sums, corners)
    return corners


@compiled
def _average(
    shared: NDArray[np.int32],
    size: NDArray[np.float64],
    tone: Levels,
    sums: NDArray[np.float64],
    corners: Levels,
) -> None:
    """Fill in each corner's mean tone; `sums`, of size and of size times tone, begin at 0."""
    for f in range(len(shared)):
        for k in range(3):
            sums[shared[f, k], 0] += size[f]
            sums[shared[f, k], 1] += size[f] * tone[f]
    for f in range(len(shared)):
        for k in range(3):
            corners[f, k] = sums[shared[f, k], 1] / sums[shared[f, k], 0]


def _vertex_within_area(
    faces: NDArray[np.int32], area: NDArray[np.int32], vertices: int
) -> NDArray[np.int32]:
    """A number for each pair of vertex and area that meet, at each corner of each face."""
    shared = np.empty(faces.shape, np.int32)
    _number(faces, area, np.full(vertices, -1, np.int32), shared)
    left = np.flatnonzero(shared < 0)
    pair = faces.ravel()[left] * (np.int64(area.max(initial=0)) + 1) + area[left // 3]
    shared.ravel()[left] = vertices + np.unique(pair, return_inverse=True)[1]
    return shared


@compiled
def _number(
    faces: NDArray[np.int32],
    area: NDArray[np.int32],
    owner: NDArray[np.int32],
    shared: NDArray[np.int32],
) -> None:
    """Fill in each corner's vertex, or -1 where another area names it first; `owner` begins at -1.

    owner : (vertices,) the first area that names each.
    """
    for f in range(len(faces)):
        for k in range(3):
            vertex = faces[f, k]
            if owner[vertex] < 0:
                owner[vertex] = area[f]
            shared[f, k] = vertex if owner[vertex] == area[f] else -1
