"""Which views it takes to see every part of a figure, and close-ups of crowded places."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from preview.present.tints import part_picture
from preview.render.framing import framing, outline
from preview.render.seen import Renderer
from preview.render.view import View
from preview.shape.threads import in_threads

Floats = NDArray[np.float64]

_SMALL, _CLOSE_SMALL = 200, 72
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


@dataclass(frozen=True, eq=False)
class Scout:
    """A figure, or what stands in for it, to look for good views with.

    vertices : (vertices, 3) float32 mm.
    part_of_face : (faces,) int32, in [0, count).
    count : how many parts there are.
    renderer : of the same mesh.
    """

    vertices: NDArray[np.float32]
    part_of_face: NDArray[np.int32]
    count: int
    renderer: Renderer

    def pixels(self, view: View, side: int) -> NDArray[np.int64]:
        """(parts,) how many pixels each part has in a small picture of a view."""
        shown = part_picture(self.renderer.see(_shrunk(view, side)), self.part_of_face)
        return np.bincount(shown[shown >= 0], minlength=self.count)


def main_views(scout: Scout, side: int) -> list[View]:
    """Front, left, back, right, and those others that show what these do not.

    Parameters
    ----------
    scout : the figure.
    side : pixels, width and height of the pictures.
    """
    candidates = _candidates(scout.vertices, side)
    seen = list(in_threads(lambda view: scout.pixels(view, _SMALL), candidates))
    size = np.array(seen, dtype=np.float64)
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
    scout: Scout, wanted: Sequence[int], places: Floats, like: View, called: str
) -> list[View]:
    """Close-ups in which parts that are too small elsewhere can be told apart.

    Parameters
    ----------
    scout : the figure.
    wanted : the parts.
    places : (parts, 3) mm, the middle of each part, wanted or not.
    like : a main view, for its size and lens.
    called : names them, with a number behind.
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
        views.append(_close_up(scout, f"{called} {number}", group, places, like, span))
    return views


def _close_up(
    scout: Scout, name: str, group: list[int], places: Floats, like: View, span: float
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
            worth = float(np.log1p(scout.pixels(view, _CLOSE_SMALL)[group]).sum())
            if best is None or worth > best[0]:
                best = (worth, view)
    assert best is not None
    return best[1]


def _candidates(vertices: NDArray[np.float32], side: int) -> list[View]:
    """Views around the figure at three heights."""
    hull, views = outline(vertices), []
    for height, suffix in ((_LEVEL, ""), (_HIGH, " above"), (_LOW, " below")):
        front = framing(hull, side, side, elevation_deg=height, margin=0.05)
        for name, azimuth in _AROUND.items():
            views.append(replace(front, azimuth_deg=azimuth, name=name + suffix))
    return views


def _shrunk(view: View, side: int) -> View:
    """The same view in fewer pixels."""
    return replace(
        view, width=side, height=side, mm_per_pixel=view.mm_per_pixel * view.width / side
    )
