"""The judge's own views: around the figure, from above the table, finer than an eye resolves."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.sculpt import Sculpt
from preview.errors import Fault, UsageError
from preview.judge.geometry import mm_per_pixel
from preview.render.seen import Renderer
from preview.render.view import View
from preview.settings import FRONT, SIGHT_ELEVATION
from preview.shape.bounds import bounds

VIEWS = 8

NOTHING, HIDDEN = -1, -2

_SAMPLES_ACROSS = 800
_MOST_SAMPLES = 6_000_000
_MARGIN = 4


@dataclass(frozen=True)
class Around:
    """From where a figure on a table is seen, and how much each view counts.

    elevation_deg : of the eye above the figure, in [-80, 80]. The default is a seated player's line
        of sight to a figure about an arm's length away; no view is from below. Our convention.
    front : how many times more the front counts than the back, >= 1; in between by the cosine.

    Raises
    ------
    UsageError : a value out of its range or no number; tells all at once.
    """

    elevation_deg: float = SIGHT_ELEVATION.default
    front: float = FRONT.default

    def __post_init__(self) -> None:
        faults: list[Fault] = []
        for setting, value in ((SIGHT_ELEVATION, self.elevation_deg), (FRONT, self.front)):
            try:
                setting.check(value)
            except UsageError as error:
                faults.extend(error.faults)
        if faults:
            raise UsageError.of(faults)

    def azimuths_deg(self) -> tuple[float, ...]:
        """Turntable angles of the views; 0 is the front."""
        return tuple(360.0 / VIEWS * k for k in range(VIEWS))

    def weights(self) -> NDArray[np.float64]:
        """(views,): how much each counts; their mean is 1."""
        facing = 0.5 + 0.5 * np.cos(np.radians(self.azimuths_deg()))
        weight = 1.0 + (self.front - 1.0) * facing
        return np.asarray(weight / weight.mean())


AROUND = Around()


@dataclass(frozen=True, eq=False)
class Look:
    """What one view shows, one sample per cell of a fine grid.

    label : (rows, columns) int32, area; NOTHING beside the figure, HIDDEN on a face that counts
        nowhere.
    face : (rows, columns) int32, -1 beside the figure.
    depth : (rows, columns) float32, mm away from the eye; inf beside the figure.
    """

    view: View
    label: NDArray[np.int32]
    face: NDArray[np.int32]
    depth: NDArray[np.float32]


def judge_views(
    sculpt: Sculpt,
    distance_m: float,
    around: Around = AROUND,
) -> tuple[View, ...]:
    """Orthographic views that frame the figure, with at least 120 samples per degree.

    The grid also puts some 800 samples along the figure's largest extent, whatever the distance,
    so that lengths in mm don't depend on how far away the eye is. A view stops at 6 million
    samples, which only a figure that fills a wide part of the sight would need.

    Parameters
    ----------
    distance_m : metres from the eye, > 0.
    around : from where.
    """
    azimuths_deg, elevation_deg = around.azimuths_deg(), around.elevation_deg
    frames = _frames(sculpt.vertices, azimuths_deg, elevation_deg)
    widest = max(max(width, height) for _, width, height in frames)
    largest = max(width * height for _, width, height in frames)
    sample_mm = min(widest / _SAMPLES_ACROSS, mm_per_pixel(distance_m))
    sample_mm = max(sample_mm, math.sqrt(largest / _MOST_SAMPLES))
    return tuple(
        View(
            target=target,
            azimuth_deg=azimuth,
            elevation_deg=elevation_deg,
            distance_mm=math.inf,
            mm_per_pixel=sample_mm,
            width=math.ceil(width / sample_mm) + 2 * _MARGIN,
            height=math.ceil(height / sample_mm) + 2 * _MARGIN,
            name=f"judge-{azimuth:g}",
        )
        for azimuth, (target, width, height) in zip(azimuths_deg, frames, strict=True)
    )


def look(sculpt: Sculpt, renderer: Renderer, view: View) -> Look:
    """Which area, which face and how deep, at each sample of a view.

    Parameters
    ----------
    renderer : prepared for this sculpt.
    view : one of `judge_views`.
    """
    seen = renderer.see(view, samples=1)
    cells = view.width * view.height
    label = np.full(cells, NOTHING, np.int32)
    face = np.full(cells, -1, np.int32)
    depth = np.full(cells, np.inf, np.float32)
    label[seen.pixel] = np.where(sculpt.exposed[seen.face], sculpt.area[seen.face], HIDDEN)
    face[seen.pixel] = seen.face
    depth[seen.pixel] = seen.depth
    shape = (view.height, view.width)
    return Look(view, label.reshape(shape), face.reshape(shape), depth.reshape(shape))


def _frames(
    points: NDArray[np.float32], azimuths_deg: Sequence[float], elevation_deg: float
) -> list[tuple[tuple[float, float, float], float, float]]:
    """For each azimuth the middle of what a view sees, and its width and height in mm."""
    low, high = bounds(points)
    middle = 0.5 * (low + high).astype(np.float64)
    views = [View((0.0, 0.0, 0.0), a, elevation_deg, math.inf, 1.0, 1, 1) for a in azimuths_deg]
    across = np.concatenate([view.axes()[:2] for view in views])
    # One row per direction, so that the extremes are found along contiguous memory.
    along = across.astype(np.float32) @ (points - middle.astype(np.float32)).T
    low, high = along.min(axis=1).astype(np.float64), along.max(axis=1).astype(np.float64)
    size, shift = high - low, 0.5 * (low + high)
    frames = []
    for k in range(0, len(across), 2):
        x, y, z = (float(v) for v in middle + shift[k : k + 2] @ across[k : k + 2])
        frames.append(((x, y, z), float(size[k]), float(size[k + 1])))
    return frames
