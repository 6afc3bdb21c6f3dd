"""What stands behind the figure, and the soft shadow under it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from preview.areas.sculpt import Sculpt
from preview.render.view import View

Array = NDArray[np.float32]

# A neutral of L* 76: lighter than most paint, darker than highlights, and of no hue.
PLAIN_LINEAR = 0.50
_COARSE = 4
_GRID = 160
_REACH = 2.0
_DEEPEST = 0.55


class Backdrop:
    """A plain neutral with the figure's soft shadow on the table, for any view of one sculpt."""

    def __init__(self, sculpt: Sculpt) -> None:
        self._half = _REACH * float(np.abs(sculpt.vertices[:, :2]).max())
        self._shade = _table_shade(sculpt, self._half)

    def linear(self, view: View) -> Array:
        """(height, width, 3) float32, linear sRGB."""
        if view.elevation_deg <= 0:
            return np.full((view.height, view.width, 3), PLAIN_LINEAR, dtype=np.float32)
        # The shadow is soft, so a coarse picture of it, enlarged, shows the same.
        wide, high = -(-view.width // _COARSE), -(-view.height // _COARSE)
        coarse = replace(
            view, width=wide, height=high, mm_per_pixel=view.mm_per_pixel * view.width / wide
        )
        shade = Image.fromarray(self._shade_in(coarse))
        full = np.asarray(shade.resize((view.width, view.height), Image.Resampling.BILINEAR))
        grey = PLAIN_LINEAR * (1.0 - _DEEPEST * full[..., None])
        return np.broadcast_to(grey, (view.height, view.width, 3))

    def _shade_in(self, view: View) -> Array:
        """(height, width) in [0, 1]: the table's shadow as a view sees it."""
        origins, directions = view.rays()
        directions = np.broadcast_to(directions, origins.shape)
        reach = -origins[:, 2:] / np.minimum(directions[:, 2:], np.float32(-1e-6))
        place = origins[:, :2] + reach * directions[:, :2]
        return self._at(place).reshape(view.height, view.width)

    def _at(self, place: NDArray[np.floating]) -> Array:
        """How deep the shadow is at (places, 2) on the table, bilinear, 0 outside."""
        scale = (_GRID - 1) / (2 * self._half)
        on_grid = np.clip((place + self._half) * scale, 0, _GRID - 1.001)
        c, r = on_grid.astype(np.int32).T
        fc, fr = on_grid[:, 0] - c, on_grid[:, 1] - r
        near = self._shade[r, c] * (1 - fc) + self._shade[r, c + 1] * fc
        far = self._shade[r + 1, c] * (1 - fc) + self._shade[r + 1, c + 1] * fc
        return np.asarray(near * (1 - fr) + far * fr, dtype=np.float32)


def _table_shade(sculpt: Sculpt, half: float) -> Array:
    """(grid, grid) in [0, 1]: how much of its light the table loses, row by y, column by x."""
    from scipy.ndimage import gaussian_filter

    shade = np.zeros((_GRID, _GRID))
    height = max(sculpt.placement.height_mm, 1e-6)
    for share, weight in ((0.03, 0.5), (0.25, 0.3), (1.0, 0.2)):
        low = sculpt.vertices[sculpt.vertices[:, 2] <= share * height]
        spot = ((low[:, :2] + half) * ((_GRID - 1) / (2 * half)) + 0.5).astype(np.int32)
        hit = np.zeros((_GRID, _GRID))
        hit[spot[:, 1], spot[:, 0]] = 1.0
        blur = _GRID / (2 * half) * height * (0.03 + 0.10 * share)
        shade += weight * np.minimum(gaussian_filter(hit, blur) * 1.6, 1.0)
    # Fade to nothing at the rim of the grid, so that its border never shows.
    ramp = np.clip((1.0 - np.abs(np.linspace(-1, 1, _GRID))) * 5.0, 0.0, 1.0)
    fade = np.minimum.outer(ramp, ramp)
    return np.asarray(np.clip(shade, 0.0, 1.0) * fade, dtype=np.float32)
