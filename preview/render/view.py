"""A camera: where it stands, what it frames, how many pixels."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]


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

    @property
    def orthographic(self) -> bool:
        """Whether all rays are parallel."""
        return math.isinf(self.distance_mm)

    @property
    def lift_mm(self) -> float:
        """How far before the target the rays start; 1 m is beyond any figure that fits a table."""
        return 1000.0 if self.orthographic else self.distance_mm

    def rays(
        self, samples: int = 1, pixels: NDArray[np.integer] | None = None
    ) -> tuple[Floats, Floats]:
        """One ray through each sample; samples lie on a regular grid within their pixel.

        Parameters
        ----------
        samples : per pixel, a square number.
        pixels : (pixels,) int, row * width + column; None for all, in order.

        Returns
        -------
        origins : (pixels * samples, 3) float32, mm; the samples of a pixel follow each other.
        directions : (pixels * samples, 3) float32, or (1, 3) when orthographic; their component
            along the view axis is 1, so that distances along them are depths.
        """
        right_axis, up_axis, back_axis = self.axes()
        plane = np.stack([right_axis, up_axis]).astype(np.float32)
        start = (np.asarray(self.target) + back_axis * self.lift_mm).astype(np.float32)
        ahead = -back_axis.astype(np.float32)
        # Small products go through einsum: BLAS would start threads of its own for them, which
        # get in the way of ours.
        offsets = self._sample_offsets_mm(samples, pixels)
        if self.orthographic:
            sideways = np.einsum("kx,ks->xs", plane, offsets)
            sideways += start[:, None]
            return sideways.T, ahead[None, :]
        sideways = np.einsum("kx,ks->xs", plane / np.float32(self.distance_mm), offsets)
        sideways += ahead[:, None]
        return np.broadcast_to(start, (sideways.shape[1], 3)), sideways.T

    def depth(self, distance: Floats) -> Floats:
        """Depth as `Seen` tells it, from distances along the rays of `rays`."""
        return distance - np.float32(self.lift_mm) if self.orthographic else distance

    def project(self, points: NDArray[np.floating]) -> tuple[Floats, Floats]:
        """Where points appear in the picture, and how deep.

        Parameters
        ----------
        points : (points, 3) float, mm.

        Returns
        -------
        xy : (points, 2) float32, pixels from the top left corner, x to the right, y down;
            the middle of the first pixel is (0.5, 0.5).
        depth : (points,) float32, mm, as in `Seen`.
        """
        offset = np.asarray(points, dtype=np.float32) - np.asarray(self.target, dtype=np.float32)
        axes = np.stack(self.axes()).astype(np.float32)
        across, up, towards = np.einsum("ax,px->ap", axes, offset)
        if self.orthographic:
            depth = -towards
            scale = np.full_like(depth, 1.0 / self.mm_per_pixel)
        else:
            depth = np.float32(self.distance_mm) - towards
            scale = np.float32(self.distance_mm / self.mm_per_pixel) / depth
        x = self.width / 2 + across * scale
        y = self.height / 2 - up * scale
        return np.stack([x, y], axis=1).astype(np.float32), depth

    def _sample_offsets_mm(self, samples: int, pixels: NDArray[np.integer] | None) -> Floats:
        """(2, samples): how far right of and above the target each lies, at its depth."""
        side = math.isqrt(samples)
        if side < 1 or side * side != samples:
            raise ValueError(f"samples per pixel must be a square number, got {samples}")
        if pixels is None:
            pixels = np.arange(self.width * self.height, dtype=np.int32)
        row, column = np.divmod(pixels, self.width)
        within = (np.arange(side, dtype=np.float32) + np.float32(0.5)) / np.float32(side)
        x = column[:, None].astype(np.float32) + np.tile(within, side)
        y = row[:, None].astype(np.float32) + np.repeat(within, side)
        scale = np.float32(self.mm_per_pixel)
        across = (x - np.float32(self.width / 2)) * scale
        up = (np.float32(self.height / 2) - y) * scale
        return np.stack([across.ravel(), up.ravel()])
