"""Samples of a pixel that show the same made one, so that only edges cost more than one."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.render.fine import Hits, hits_of
from preview.render.plane import on_faces
from preview.render.seen import Drawn, Renderer, Seen
from preview.render.view import View
from preview.shape.compiled import compiled

SAMPLES = 4
_TONE_STEP = 0.05
_FACING_COSINE = 0.9
_DEPTH_PIXELS = 1.0
_STEEPEST_COSINE = 0.15

Floats = NDArray[np.float32]
Ints = NDArray[np.int32]


def see_adaptive(
    renderer: Renderer,
    view: View,
    sculpt: Sculpt,
    corner_tone: Floats | None = None,
    samples: int = SAMPLES,
    jumps: Sequence[float] = (),
) -> Seen:
    """What a picture needs: `samples` samples a pixel, those that show the same joined.

    Two samples of a pixel show the same when they see one area, at a depth that the slope explains,
    facing alike, in nearly the same tone.

    Parameters
    ----------
    renderer : sees all samples.
    view : the camera.
    sculpt : areas and facings.
    corner_tone : (faces, 3) float32, in [0, 1]; None leaves tone aside.
    samples : per pixel, a square number.
    jumps : tones at which the colour jumps, such as the hard edges of layered steps; samples on
        either side of one differ.

    Returns
    -------
    seen : in the order of the pixels; a joined sample weighs as much as those that it joins. It
        lies in the middle of them when they see one face, else where the first of them lies.
    """
    return joined(renderer.draw(view, samples), sculpt, corner_tone, jumps)


def joined(
    drawn: Drawn,
    sculpt: Sculpt,
    corner_tone: Floats | None = None,
    jumps: Sequence[float] = (),
) -> Seen:
    """Samples of a pixel that show the same as one; parameters as for `see_adaptive`."""
    view, hits = drawn.view, hits_of(drawn)
    count = len(hits.pixel)
    tone, step = _tones(view, hits, sculpt, corner_tone, jumps)
    first, weight = np.empty(count, np.int32), np.empty(count, np.float32)
    place = np.empty((count, 2), np.float32)
    groups = _join(
        hits.pixel,
        hits.face,
        hits.place,
        hits.depth,
        sculpt.area,
        sculpt.normal,
        np.asarray(view.axes()[2], np.float32),
        np.float32(view.mm_per_pixel),
        np.float32(1.0 / drawn.side**2),
        tone,
        step,
        first,
        weight,
        place,
    )
    kept = first[:groups]
    face = hits.face[kept]
    bary, depth = on_faces(view, place[:groups], sculpt.vertices, sculpt.faces, face)
    return Seen(view, hits.pixel[kept], weight[:groups].copy(), face, bary, depth)


def _tones(
    view: View, hits: Hits, sculpt: Sculpt, corner_tone: Floats | None, jumps: Sequence[float]
) -> tuple[Floats, Ints]:
    """The tone at each sample, and between which jumps it lies."""
    tone = np.zeros(len(hits.pixel), np.float32)
    if corner_tone is None:
        return tone, np.zeros(len(tone), np.int32)
    edges = np.sort(np.asarray(jumps, np.float32))
    uneven = np.empty(len(tone), np.int32)
    # Small faces have one tone all over; only on the others does the place matter.
    uneven = uneven[: _mean_tones(hits.face, corner_tone, edges, tone, uneven)]
    face = hits.face[uneven]
    bary, _ = on_faces(view, hits.place[uneven], sculpt.vertices, sculpt.faces, face)
    step = np.empty(len(tone), np.int32)
    _exact_tones(uneven, face, bary, corner_tone, edges, tone, step)
    return tone, step


@compiled
def _mean_tones(face: Ints, corner_tone: Floats, edges: Floats, tone: Floats, uneven: Ints) -> int:
    """Fill in the mean tone of each sample's face; list the samples for which it will not do."""
    count = 0
    for i in range(len(face)):
        a, b, c = corner_tone[face[i], 0], corner_tone[face[i], 1], corner_tone[face[i], 2]
        low, high = min(a, b, c), max(a, b, c)
        tone[i] = (a + b + c) * np.float32(1.0 / 3.0)
        changes = high - low > np.float32(2 * _TONE_STEP)
        for edge in edges:
            changes = changes or low < edge <= high
        if changes:
            uneven[count] = i
            count += 1
    return count


@compiled
def _exact_tones(
    uneven: Ints,
    face: Ints,
    bary: Floats,
    corner_tone: Floats,
    edges: Floats,
    tone: Floats,
    step: Ints,
) -> None:
    """Fill in the tone of some samples, blended between the corners, and the step of all."""
    for k in range(len(uneven)):
        here = corner_tone[face[k], 0]
        tone[uneven[k]] = (
            here
            + (corner_tone[face[k], 1] - here) * bary[k, 0]
            + (corner_tone[face[k], 2] - here) * bary[k, 1]
        )
    for i in range(len(tone)):
        above = 0
        for edge in edges:
            above += tone[i] >= edge
        step[i] = above


@compiled
def _join(
    pixel: Ints,
    face: Ints,
    place: Floats,
    far: Floats,
    area: Ints,
    normal: Floats,
    back: Floats,
    mm_per_pixel: np.float32,
    share: np.float32,
    tone: Floats,
    step: Ints,
    first: Ints,
    weight: Floats,
    middle: Floats,
) -> int:
    """Fill in the groups of like samples, pixel by pixel; gives their number.

    first : of each group, the sample that all others of it are like.
    middle : (groups, 2) where each group lies in the picture: in its middle, but never off the
        face that stands for it.
    """
    plain = mm_per_pixel * np.float32(_DEPTH_PIXELS)
    mixed = np.empty(len(pixel), np.bool_)
    groups = begin = 0
    for i in range(len(pixel)):
        if i == 0 or pixel[i] != pixel[i - 1]:
            begin = groups
        f = face[i]
        found = -1
        for g in range(begin, groups):
            j = first[g]
            e = face[j]
            if step[j] != step[i] or abs(tone[j] - tone[i]) > np.float32(_TONE_STEP):
                continue
            if e == f:
                found = g
                break
            if area[e] != area[f]:
                continue
            facing = steep = np.float32(0.0)
            for k in range(3):
                facing += normal[e, k] * normal[f, k]
                steep += normal[e, k] * back[k]
            steep = max(abs(steep), np.float32(_STEEPEST_COSINE))
            rise = mm_per_pixel * np.sqrt(np.float32(1.0) / (steep * steep) - np.float32(1.0))
            if facing >= np.float32(_FACING_COSINE) and abs(far[j] - far[i]) <= plain + rise:
                found = g
                break
        if found < 0:
            found = groups
            first[found], weight[found] = i, np.float32(0.0)
            middle[found, 0] = middle[found, 1] = np.float32(0.0)
            mixed[found] = False
            groups += 1
        mixed[found] = mixed[found] or face[first[found]] != f
        weight[found] += share
        middle[found, 0] += share * place[i, 0]
        middle[found, 1] += share * place[i, 1]
    for g in range(groups):
        for k in range(2):
            middle[g, k] = place[first[g], k] if mixed[g] else middle[g, k] / weight[g]
    return groups
