"""A camera: where it stands, what it frames, how many pixels."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True)
class View:
    """A pinhole or orthographic camera in the sculpt's millimetres.

    target : the point in the middle of the picture.
    azimuth_deg : 0 looks at the front (stands at -Y), 90 stands at +X; turntable angle.
    elevation_deg : above the horizon, in (-90, 90).
    distance_mm : from eye to target; math.inf for orthographic.
    mm_per_pixel : size of a pixel at the target's depth.
    width, height : pixels.
    name : for sheets and stored cameras, such as "front".
    """

    target: tuple[float, float, float]
    azimuth_deg: float
    elevation_deg: float
    distance_mm: float
    mm_per_pixel: float
    width: int
    height: int
    name: str = ""

    def axes(self) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
        """Unit vectors of the picture: right, up, and towards the eye."""
        az, el = np.radians(self.azimuth_deg), np.radians(self.elevation_deg)
        back = np.array([np.sin(az) * np.cos(el), -np.cos(az) * np.cos(el), np.sin(el)])
        right = np.array([np.cos(az), np.sin(az), 0.0])
        return right, np.cross(back, right), back
