"""From a pixel of a picture to the place on the figure that it shows."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from preview.areas.marks.model import UNSURE, Camera, Mark, Marks, Spot
from preview.areas.sculpt import Sculpt
from preview.errors import Fault
from preview.render.view import View


def camera_of(view: View) -> Camera:
    """A view as a marks file keeps it."""
    return Camera(
        target=view.target,
        azimuth=view.azimuth_deg,
        elevation=view.elevation_deg,
        distance=0.0 if view.orthographic else view.distance_mm,
        mm_per_pixel=view.mm_per_pixel,
        size=(view.width, view.height),
    )


def view_of(name: str, camera: Camera) -> View:
    """A stored camera as a view."""
    return View(
        target=camera.target,
        azimuth_deg=camera.azimuth,
        elevation_deg=camera.elevation,
        distance_mm=camera.distance or math.inf,
        mm_per_pixel=camera.mm_per_pixel,
        width=camera.size[0],
        height=camera.size[1],
        name=name,
    )


def with_places(marks: Marks, sculpt: Sculpt) -> Marks:
    """The marks with a place on the figure for every pixel.

    Parameters
    ----------
    marks : as read.
    sculpt : the mesh, in the frame of the marks.

    Returns
    -------
    marks : a mark with a pixel that shows no part of the figure is unsure, and has a fault.
    """
    views = {name: view_of(name, camera) for name, camera in marks.views.items()}
    faults = list(marks.faults)
    placed = tuple(_placed(mark, views, sculpt, faults) for mark in marks.marks)
    return replace(marks, marks=placed, faults=tuple(faults))


def _placed(mark: Mark, views: Mapping[str, View], sculpt: Sculpt, faults: list[Fault]) -> Mark:
    """One mark with places for its pixels."""
    spots = []
    for spot in mark.spots:
        if spot.pixel is None:
            spots.append(spot)
            continue
        view, (column, row) = views.get(spot.view), spot.pixel
        if view is None or not (0 <= column < view.width and 0 <= row < view.height):
            # The reader of the file has told of it.
            continue
        found = _spot(view, spot.pixel, sculpt)
        if found is None:
            faults.append(
                Fault(
                    f'pixel {column:g}, {row:g} of view "{spot.view}" shows no part of the figure',
                    mark.where,
                    "columns count from the left, rows from the top, along the picture's rulers",
                )
            )
            continue
        spots.append(found)
    whole = len(spots) == len(mark.spots)
    return replace(mark, spots=tuple(spots), kind=mark.kind if whole else UNSURE)


def _spot(view: View, pixel: tuple[float, float], sculpt: Sculpt) -> Spot | None:
    """The place that a pixel shows."""
    number = np.array([int(pixel[1]) * view.width + int(pixel[0])])
    origin, direction = (np.asarray(v, np.float64) for v in view.rays(1, number))
    face, distance, _ = sculpt.rays.first_hit(
        origin.astype(np.float32), direction.astype(np.float32)
    )
    if face[0] < 0:
        return None
    at = origin[0] + float(distance[0]) * direction[0]
    normal = sculpt.normal[face[0]].astype(np.float64)
    normal = -normal if normal @ direction[0] > 0 else normal
    return Spot(
        (float(at[0]), float(at[1]), float(at[2])),
        (float(normal[0]), float(normal[1]), float(normal[2])),
    )
