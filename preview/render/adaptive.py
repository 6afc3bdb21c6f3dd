"""Samples of a pixel that show the same made one, so that only edges cost more than one."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.render.fine import Hits, hits_of
from preview.render.plane import on_faces
from preview.render.seen import Drawn, Renderer, Seen
from preview.render.view import View
from preview.shape.compiled import compiled

SAMPLES = 4
_TRAVEL = 0.15
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
    travel: Floats | None = None,
    samples: int = SAMPLES,
) -> Seen:
    """What a picture needs: `samples` samples a pixel, those that show the same joined.

    Two samples of a pixel show the same when they see one area, at a depth that the slope explains,
    facing alike, in tones between which the colour hardly changes.

    Parameters
    ----------
    renderer : sees all samples.
    view : the camera.
    sculpt : areas and facings.
    corner_tone : (faces, 3) float32, in [0, 1]; None leaves tone aside.
    travel : (areas, levels) float32, how far the colour has moved from tone 0 up to each of so
        many tones, evenly spaced, in steps of the ramp; None takes an even ramp of four.
    samples : per pixel, a square number.

    Returns
    -------
    seen : in the order of the pixels; a joined sample weighs as much as those that it joins. It
        lies in the middle of them when they see one face, else where the first of them lies.
    """
    return joined(renderer.draw(view, samples), sculpt, corner_tone, travel)


def joined(
    drawn: Drawn,
    sculpt: Sculpt,
    corner_tone: Floats | None = None,
    travel: Floats | None = None,
) -> Seen:
    """Samples of a pixel that show the same as one; parameters as for `see_adaptive`."""
    view, hits = drawn.view, hits_of(drawn)
    count = len(hits.pixel)
    if travel is None:
        travel = np.tile(np.linspace(0, 3, 256, dtype=np.float32), (len(sculpt.area_names), 1))
    way = _ways(view, hits, sculpt, corner_tone, travel)
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
        way,
        first,
        weight,
        place,
    )
    kept = first[:groups]
    face = np.take(hits.face, kept)
    bary, depth = on_faces(view, place[:groups], sculpt.vertices, sculpt.faces, face)
    return Seen(view, np.take(hits.pixel, kept), weight[:groups].copy(), face, bary, depth)


def _ways(
    view: View, hits: Hits, sculpt: Sculpt, corner_tone: Floats | None, travel: Floats
) -> Floats:
    """How far the colour has moved along its ramp at each sample."""
    way = np.zeros(len(hits.pixel), np.float32)
    if corner_tone is None:
        return way
    uneven = np.empty(len(way), np.int32)
    # On most small faces the colour is one; only on the others does the place matter.
    uneven = uneven[: _even_ways(hits.face, sculpt.area, corner_tone, travel, way, uneven)]
    face, place = np.take(hits.face, uneven), np.take(hits.place, uneven, axis=0)
    bary, _ = on_faces(view, place, sculpt.vertices, sculpt.faces, face)
    _uneven_ways(uneven, face, bary, sculpt.area, corner_tone, travel, way)
    return way


@compiled
def _even_ways(
    face: Ints, area: Ints, corner_tone: Floats, travel: Floats, way: Floats, uneven: Ints
) -> int:
    """Fill in the way of each sample's face; list the samples in whose face it varies."""
    scale = np.float32(travel.shape[1] - 1)
    count = 0
    for i in range(len(face)):
        f = face[i]
        a, b, c = corner_tone[f, 0], corner_tone[f, 1], corner_tone[f, 2]
        low = travel[area[f], int(min(a, b, c) * scale + np.float32(0.5))]
        high = travel[area[f], int(max(a, b, c) * scale + np.float32(0.5))]
        way[i] = low
        if high - low > np.float32(_TRAVEL / 2):
            uneven[count] = i
            count += 1
    return count


@compiled
def _uneven_ways(
    uneven: Ints,
    face: Ints,
    bary: Floats,
    area: Ints,
    corner_tone: Floats,
    travel: Floats,
    way: Floats,
) -> None:
    """Fill in the way of some samples, whose tone is blended between the corners."""
    scale = np.float32(travel.shape[1] - 1)
    for k in range(len(uneven)):
        f = face[k]
        tone = corner_tone[f, 0]
        tone += (corner_tone[f, 1] - corner_tone[f, 0]) * bary[k, 0]
        tone += (corner_tone[f, 2] - corner_tone[f, 0]) * bary[k, 1]
        way[uneven[k]] = travel[area[f], int(tone * scale + np.float32(0.5))]


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
    way: Floats,
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
            if abs(way[j] - way[i]) > np.float32(_TRAVEL):
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
