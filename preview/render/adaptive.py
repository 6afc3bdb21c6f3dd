"""Samples of a pixel that show the same made one, so that only edges cost more than one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.render.plane import on_faces
from preview.render.seen import Drawn, Renderer, Seen
from preview.render.view import View
from preview.shape.compiled import compiled

SAMPLES = 4
_TRAVEL = 0.15
_FACING_COSINE = 0.9
_DEPTH_PIXELS = 1.0
_STEEPEST_COSINE = 0.15
# Pixels of a square, across and down: what they show lies together in memory and for rays.
_SQUARE = 4

Floats = NDArray[np.float32]
Ints = NDArray[np.int32]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Ways:
    """How far the colour has moved along its ramp on each face: one for a whole turn of views.

    corner_tone : (faces, 3) float32, in [0, 1].
    travel : (areas, levels) float32, how far the colour has moved from tone 0 up to each of so
        many tones, evenly spaced, in steps of the ramp.
    least : (faces,) float32, at the corner where it has moved least.
    varies : (faces,) bool, whether the colour changes visibly across the face.
    """

    corner_tone: Floats
    travel: Floats
    least: Floats
    varies: Bools


def ways_of(sculpt: Sculpt, corner_tone: Floats, travel: Floats | None = None) -> Ways:
    """Find how far the colour has moved on each face; without `travel`, on an even ramp of four."""
    if travel is None:
        travel = np.tile(np.linspace(0, 3, 256, dtype=np.float32), (len(sculpt.area_names), 1))
    least, varies = np.empty(len(sculpt.area), np.float32), np.empty(len(sculpt.area), np.bool_)
    _find_ways(sculpt.area, corner_tone, travel, least, varies)
    return Ways(corner_tone, travel, least, varies)


def see_adaptive(
    renderer: Renderer, view: View, sculpt: Sculpt, ways: Ways | None = None, samples: int = SAMPLES
) -> Seen:
    """What a picture needs: `samples` samples a pixel, those that show the same joined.

    Two samples of a pixel show the same when they see one area, at a depth that the slope explains,
    facing alike, in tones between which the colour hardly changes.

    Parameters
    ----------
    renderer : sees all samples.
    view : the camera.
    sculpt : areas and facings.
    ways : of the paint on it; None leaves tone aside.
    samples : per pixel, a square number.

    Returns
    -------
    seen : by squares of 4 × 4 pixels, the samples of a pixel together; a joined sample weighs as
        much as those that it joins. It lies in the middle of them when they see one face, else
        where the first of them lies.
    """
    return joined(renderer.draw(view, samples), sculpt, ways)


def joined(drawn: Drawn, sculpt: Sculpt, ways: Ways | None = None) -> Seen:
    """Samples of a pixel that show the same as one; parameters as for `see_adaptive`."""
    view = drawn.view
    number = drawn.number.reshape(view.height * drawn.side, -1)
    pixels = np.empty((view.height * view.width, 2), np.int32)
    pixels = pixels[: _list_pixels(number, drawn.side, pixels)]
    # No more groups than samples; what is not filled costs nothing.
    most = len(pixels) * drawn.side**2
    pixel, face = np.empty(most, np.int32), np.empty(most, np.int32)
    weight, place = np.empty(most, np.float32), np.empty((most, 2), np.float32)
    groups = _join(
        number,
        drawn.depth.reshape(number.shape),
        pixels,
        drawn.side,
        sculpt.area,
        sculpt.normal,
        np.asarray(view.axes()[2], np.float32),
        np.float32(view.mm_per_pixel),
        ways is not None,
        np.empty(0, np.float32) if ways is None else ways.least,
        np.empty(0, np.bool_) if ways is None else ways.varies,
        _ways_where_they_vary(drawn, number, pixels, sculpt, ways),
        pixel,
        face,
        weight,
        place,
    )
    face = face[:groups].copy()
    bary, depth = on_faces(view, place[:groups], sculpt.vertices, sculpt.faces, face)
    return Seen(view, pixel[:groups].copy(), weight[:groups].copy(), face, bary, depth)


def _ways_where_they_vary(
    drawn: Drawn, number: Ints, pixels: Ints, sculpt: Sculpt, ways: Ways | None
) -> Floats:
    """The way at each sample on whose face it varies, pixel by pixel."""
    if ways is None:
        return np.empty(0, np.float32)
    # On most small faces the colour is one; only on the others does the place matter.
    most = len(pixels) * drawn.side**2
    face, place = np.empty(most + 1, np.int32), np.empty((most + 1, 2), np.float32)
    count = _list_varying(number, pixels, drawn.side, ways.varies, face, place)
    face = face[:count]
    bary, _ = on_faces(drawn.view, place[:count], sculpt.vertices, sculpt.faces, face)
    way = np.empty(count, np.float32)
    _blend_ways(face, bary, sculpt.area, ways.corner_tone, ways.travel, way)
    return way


@compiled
def _find_ways(
    area: Ints, corner_tone: Floats, travel: Floats, least: Floats, varies: Bools
) -> None:
    """Fill in the least way of each face, and whether it varies there."""
    scale = np.float32(travel.shape[1] - 1)
    for f in range(len(area)):
        a, b, c = corner_tone[f, 0], corner_tone[f, 1], corner_tone[f, 2]
        least[f] = travel[area[f], int(min(a, b, c) * scale + np.float32(0.5))]
        most = travel[area[f], int(max(a, b, c) * scale + np.float32(0.5))]
        varies[f] = most - least[f] > np.float32(_TRAVEL / 2)


@compiled
def _list_pixels(number: Ints, side: int, pixels: Ints) -> int:
    """List row and column of pixels, square by square where one shows anything; gives their number.

    pixels : (pixels, 2), of which so many are filled.
    """
    height, width = number.shape[0] // side, number.shape[1] // side
    count = 0
    for top in range(0, height, _SQUARE):
        for left in range(0, width, _SQUARE):
            bottom, end = min(top + _SQUARE, height), min(left + _SQUARE, width)
            shown = -1
            for y in range(top * side, bottom * side):
                for x in range(np.uint32(left * side), np.uint32(end * side)):
                    shown = max(shown, number[y, x])
            if shown < 0:
                continue
            for row in range(top, bottom):
                for column in range(left, end):
                    pixels[count, 0], pixels[count, 1] = row, column
                    count += 1
    return count


@compiled
def _list_varying(
    number: Ints, pixels: Ints, side: int, varies: Bools, face: Ints, place: Floats
) -> int:
    """List the samples on whose face the way varies, pixel by pixel; gives their number.

    face, place : one longer than all samples of the pixels; so many are filled.
    """
    step, half = np.float32(1.0 / side), np.float32(0.5)
    count = 0
    for i in range(len(pixels)):
        row, column = pixels[i, 0], pixels[i, 1]
        for down in range(side):
            for right in range(side):
                f = number[row * side + down, column * side + right]
                face[count] = f
                place[count, 0] = np.float32(column) + (np.float32(right) + half) * step
                place[count, 1] = np.float32(row) + (np.float32(down) + half) * step
                count += f >= 0 and varies[np.uint32(f)]
    return count


@compiled
def _blend_ways(
    face: Ints, bary: Floats, area: Ints, corner_tone: Floats, travel: Floats, way: Floats
) -> None:
    """Fill in the way of each sample, whose tone is blended between the corners."""
    scale = np.float32(travel.shape[1] - 1)
    for i in range(len(face)):
        f = np.uint32(face[i])
        tone = corner_tone[f, 0]
        tone += (corner_tone[f, 1] - corner_tone[f, 0]) * bary[i, 0]
        tone += (corner_tone[f, 2] - corner_tone[f, 0]) * bary[i, 1]
        way[i] = travel[area[f], int(tone * scale + np.float32(0.5))]


@compiled
def _join(
    number: Ints,
    depth: Floats,
    pixels: Ints,
    side: int,
    area: Ints,
    normal: Floats,
    back: Floats,
    mm_per_pixel: np.float32,
    painted: bool,
    least: Floats,
    varies: Bools,
    uneven: Floats,
    pixel: Ints,
    face: Ints,
    weight: Floats,
    middle: Floats,
) -> int:
    """Fill in the groups of like samples, pixel by pixel; gives their number.

    number, depth : (rows, columns) of samples.
    pixels : (pixels, 2) row and column of those to look at.
    uneven : way of the samples on whose face it varies, in their order.
    face : of each group, that of its first sample, which all others of it are like.
    middle : (groups, 2) where each group lies in the picture: in its middle, but never off the
        face that stands for it.
    """
    plain = mm_per_pixel * np.float32(_DEPTH_PIXELS)
    step, half, share = np.float32(1.0 / side), np.float32(0.5), np.float32(1.0 / side**2)
    # Of the groups of one pixel: way, depth and place of the first sample; whether faces differ.
    way, far = np.empty(side * side, np.float32), np.empty(side * side, np.float32)
    first, mixed = np.empty((side * side, 2), np.float32), np.empty(side * side, np.bool_)
    width = number.shape[1] // side
    downs, rights = np.divmod(np.arange(side * side), side)
    groups = listed = 0
    for i in range(len(pixels)):
        pixel_row, pixel_column = pixels[i, 0], pixels[i, 1]
        begin = groups
        for sample in range(side * side):
            down, right = downs[sample], rights[sample]
            row, column = pixel_row * side + down, pixel_column * side + right
            shown = number[row, column]
            if shown < 0:
                continue
            f = np.uint32(shown)
            here, moved = depth[row, column], np.float32(0.0)
            if painted and varies[f]:
                moved = uneven[listed]
                listed += 1
            elif painted:
                moved = least[f]
            found = -1
            for g in range(begin, groups):
                e = np.uint32(face[g])
                if abs(way[g - begin] - moved) > np.float32(_TRAVEL):
                    continue
                if e == f:
                    found = g
                    break
                if area[e] != area[f]:
                    continue
                facing = steep = np.float32(0.0)
                for k in range(3):
                    facing += normal[e, k] * normal[f, k]
                if facing < np.float32(_FACING_COSINE):
                    continue
                apart = abs(far[g - begin] - here)
                if apart > plain:
                    for k in range(3):
                        steep += normal[e, k] * back[k]
                    steep = max(abs(steep), np.float32(_STEEPEST_COSINE))
                    rise = np.sqrt(np.float32(1.0) / (steep * steep) - np.float32(1.0))
                    if apart > plain + mm_per_pixel * rise:
                        continue
                found = g
                break
            x = np.float32(pixel_column) + (np.float32(right) + half) * step
            y = np.float32(pixel_row) + (np.float32(down) + half) * step
            if found < 0:
                found, new = groups, groups - begin
                pixel[found], face[found] = pixel_row * width + pixel_column, f
                weight[found] = middle[found, 0] = middle[found, 1] = np.float32(0.0)
                way[new], far[new], mixed[new] = moved, here, False
                first[new, 0], first[new, 1] = x, y
                groups += 1
            mixed[found - begin] = mixed[found - begin] or face[found] != f
            weight[found] += share
            middle[found, 0] += share * x
            middle[found, 1] += share * y
        for g in range(begin, groups):
            for k in range(2):
                mean = middle[g, k] / weight[g]
                middle[g, k] = first[g - begin, k] if mixed[g - begin] else mean
    return groups
