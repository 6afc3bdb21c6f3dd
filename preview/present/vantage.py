"""Which views it takes to see every part of a figure, and close-ups of crowded places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from preview.present.tints import part_picture
from preview.render.framing import framing
from preview.render.seen import Renderer
from preview.render.view import View

Floats = NDArray[np.float64]

_SMALL = 200
_AROUND = {
    "front": 0.0, "front left": 45.0, "left": 90.0, "back left": 135.0, "back": 180.0,
    "back right": 225.0, "right": 270.0, "front right": 315.0,
}  # fmt: skip
_ALWAYS = ("front", "left", "back", "right")
_LEVEL, _HIGH, _LOW = 12.0, 62.0, -48.0
_SEEN_WELL = 0.4
_LEAST_PIXELS = 4
_MOST_VIEWS = 8
_CLOSE_SPAN_MM = 0.16
_CLOSE_TOGETHER = 0.6
_MOST_CLOSE = 6


def main_views(
    outline: NDArray[np.float32],
    part_of_face: NDArray[np.int32],
    count: int,
    renderer: Renderer,
    side: int,
) -> list[View]:
    """Front, left, back, right, and those others that show what these do not.

    Parameters
    ----------
    outline : (points, 3) float32 mm, points that reach as far as the figure does.
    part_of_face : (faces,) int32, in [0, count).
    renderer : of the same figure.
    side : pixels, width and height of the pictures.
    """
    candidates = _candidates(outline, side)
    size = np.zeros((len(candidates), count))
    for row, view in enumerate(candidates):
        small = _shrunk(view, _SMALL)
        shown = part_picture(renderer.see(small), part_of_face)
        size[row] = np.bincount(shown[shown >= 0], minlength=count)
    best = size.max(axis=0)
    well = (size >= _SEEN_WELL * best) & (size >= _LEAST_PIXELS)
    chosen = [k for k, view in enumerate(candidates) if view.name in _ALWAYS]
    covered = well[chosen].any(axis=0) | (best < _LEAST_PIXELS)
    while not covered.all() and len(chosen) < _MOST_VIEWS:
        gain = (well & ~covered).sum(axis=1)
        gain[chosen] = 0
        fresh = int(np.argmax(gain))
        if gain[fresh] == 0:
            break
        chosen.append(fresh)
        covered |= well[fresh]
    return [candidates[k] for k in chosen]


def close_views(
    wanted: Sequence[int],
    places: Floats,
    part_of_face: NDArray[np.int32],
    renderer: Renderer,
    like: View,
) -> list[View]:
    """Close-ups in which parts that are too small elsewhere can be told apart.

    Parameters
    ----------
    wanted : the parts.
    places : (parts, 3) mm, the middle of each part, wanted or not.
    part_of_face : (faces,) int32.
    renderer : of the figure.
    like : a main view, for its size and lens.
    """
    span = _CLOSE_SPAN_MM * like.mm_per_pixel * like.width
    groups: list[list[int]] = []
    for part in sorted(wanted, key=lambda k: (-places[k][2], k)):
        home = next(
            (g for g in groups
             if np.linalg.norm(places[g].mean(axis=0) - places[part]) < _CLOSE_TOGETHER * span),
            None,
        )  # fmt: skip
        if home is None:
            groups.append([part])
        else:
            home.append(part)
    groups.sort(key=len, reverse=True)
    views = []
    for number, group in enumerate(groups[:_MOST_CLOSE], start=1):
        views.append(
            _close_up(f"close {number}", group, places, part_of_face, renderer, like, span)
        )
    return views


def _close_up(
    name: str,
    group: list[int],
    places: Floats,
    part_of_face: NDArray[np.int32],
    renderer: Renderer,
    like: View,
    span: float,
) -> View:
    """The direction that shows most of a group of parts."""
    middle = places[group].mean(axis=0)
    reach = float(np.linalg.norm(places[group] - middle, axis=1).max())
    scale = max(span, 2.6 * reach) / like.width
    best: tuple[float, View] | None = None
    for elevation in (-30.0, 10.0, 45.0):
        for azimuth in range(0, 360, 30):
            view = replace(
                like, target=(float(middle[0]), float(middle[1]), float(middle[2])),
                azimuth_deg=float(azimuth), elevation_deg=elevation, mm_per_pixel=scale, name=name,
            )  # fmt: skip
            shown = part_picture(renderer.see(_shrunk(view, 72)), part_of_face)
            found = np.bincount(shown[shown >= 0], minlength=len(places))[group]
            worth = float(np.log1p(found).sum())
            if best is None or worth > best[0]:
                best = (worth, view)
    assert best is not None
    return best[1]


def _candidates(vertices: NDArray[np.float32], side: int) -> list[View]:
    """Views around the figure at three heights."""
    views = []
    for height, suffix in ((_LEVEL, ""), (_HIGH, " above"), (_LOW, " below")):
        front = framing(vertices, side, side, elevation_deg=height, margin=0.05)
        for name, azimuth in _AROUND.items():
            views.append(replace(front, azimuth_deg=azimuth, name=name + suffix))
    return views


def _shrunk(view: View, side: int) -> View:
    """The same view in fewer pixels."""
    return replace(
        view, width=side, height=side, mm_per_pixel=view.mm_per_pixel * view.width / side
    )
