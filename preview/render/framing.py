"""Views that frame a sculpt: one framing for a whole turntable."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from preview.render.view import View

_TURN = tuple(range(0, 360, 10))
_STEPS = 4


def framing(
    points: NDArray[np.floating],
    width: int = 1000,
    height: int = 1000,
    elevation_deg: float = 12.0,
    margin: float = 0.04,
    lens: float = 12.0,
) -> View:
    """The front view of the turntable, framed so that the sculpt fits at every angle.

    The turntable's axis is the line x = y = 0, which stays in the middle column.

    Parameters
    ----------
    points : (points, 3) float, mm; the sculpt's vertices, or their outline.
    width, height : pixels.
    elevation_deg : of the camera above the horizon, in (-90, 90).
    margin : share of the picture left free on each side, in [0, 0.5).
    lens : distance in heights of the figure; long, so that proportions stay true.
    """
    hull = outline(points)
    size = float(np.ptp(hull, axis=0).max())
    view = View(
        target=(0.0, 0.0, float(hull[:, 2].min() + hull[:, 2].max()) / 2),
        azimuth_deg=0.0,
        elevation_deg=elevation_deg,
        distance_mm=lens * size,
        mm_per_pixel=1.0,
        width=width,
        height=height,
        name="front",
    )
    for _ in range(_STEPS):
        view = _centred(view, hull)
    half_x, low, high = _extent_mm(view, hull)
    share = 1.0 - 2.0 * margin
    scale = max(2 * half_x / (width * share), 2 * max(high, -low) / (height * share))
    return replace(view, mm_per_pixel=scale)


def outline(points: NDArray[np.floating]) -> NDArray[np.float64]:
    """The points that can touch the frame, those of the convex hull; (points, 3) float64, mm."""
    from scipy.spatial import ConvexHull, QhullError

    exact: NDArray[np.float64] = np.asarray(points, dtype=np.float64)
    try:
        return exact[ConvexHull(exact).vertices]
    except QhullError:
        # A flat or tiny mesh has no hull with volume; all its points will do.
        return exact


def turntable_views(front: View, count: int = 36) -> list[View]:
    """`count` views around the axis, evenly spaced from the front, all framed as `front` is."""
    return [
        replace(front, azimuth_deg=360.0 * k / count, name=f"frame-{k:03d}") for k in range(count)
    ]


def around(front: View, named_azimuths: Sequence[tuple[str, float]]) -> list[View]:
    """The view at each azimuth in degrees, under its name, framed as `front` is."""
    return [replace(front, azimuth_deg=azimuth, name=name) for name, azimuth in named_azimuths]


def _extent_mm(view: View, hull: NDArray[np.float64]) -> tuple[float, float, float]:
    """Half width, lowest and highest of the sculpt over the whole turn, at the target's depth."""
    unit = replace(view, mm_per_pixel=1.0, width=0, height=0)
    xy = np.concatenate([replace(unit, azimuth_deg=float(a)).project(hull)[0] for a in _TURN])
    return float(np.abs(xy[:, 0]).max()), float(-xy[:, 1].max()), float(-xy[:, 1].min())


def _centred(view: View, hull: NDArray[np.float64]) -> View:
    """The view with its target moved along the axis to the middle of what it shows."""
    _, low, high = _extent_mm(view, hull)
    # From steeply above, moving along the axis hardly moves the picture.
    along = max(0.2, float(np.cos(np.radians(view.elevation_deg))))
    x, y, z = view.target
    return replace(view, target=(x, y, z + (low + high) / 2 / along))
