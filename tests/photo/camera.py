"""Photographs made from published spectra: a chart, a grey card and swatches, seen by a camera.

Camera sensitivities, illuminants and the chart's spectra are colour-science's. The camera
balances white on the light, not quite; applies the matrix that suits smooth colours best under
daylight, whatever the light is; adds shot noise; encodes in sRGB with 8 bits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from types import ModuleType
from typing import Any

import numpy as np

from preview.optics.appearance import linear_srgb_from_reflectance
from preview.optics.lhtss_burns_2020 import reflectance_from_xyz
from preview.optics.spectrum import WAVELENGTHS_NM, Floats
from preview.optics.srgb_iec61966 import encoded_from_linear, xyz_from_linear
from preview.photo.picture import Photo

CAMERAS = ("Nikon 5100 (NPL)", "Sigma SDMerill (NPL)")
LIGHTS = ("D65", "D50", "LED-B3", "FL2")
# Electrons that a pixel holds when full: what small sensors hold, from memory.
FULL_WELL = 5000.0
WIDTH, HEIGHT = 430, 250
CHART_BOX = (30, 25, 330, 225)  # left, top, right, bottom of the patch field, pixels
CARD_AT, CARD_RADIUS = (380, 65), 22
SWATCH_AT, SWATCH_RADIUS = (380, 165), 20


@dataclass(frozen=True, eq=False)
class Scene:
    """A camera in a light.

    slope : how much brighter the light is at the right edge than at the left, as a share.
    exposure : of the perfect white, in linear light; 0.85 leaves room above.
    off_white : gains by which the white balance errs.
    curve : strength of an S-shaped tone curve, 0 to 1.
    """

    colour: ModuleType
    camera: str = CAMERAS[0]
    light: str = "D65"
    slope: float = 0.0
    exposure: float = 0.85
    off_white: tuple[float, float, float] = (1.05, 1.0, 0.93)
    curve: float = 0.0
    seed: int = 7

    def photograph(self, swatch: Floats, chart: Floats | None = None, grey: float = 0.18) -> Photo:
        """A photograph with chart, card and one swatch on a mid-grey table.

        swatch : (31,) reflectance. chart : (24, 31) reflectance; the published one if None.
        """
        patches = chart_spectra(self.colour, "ISO 17321-1") if chart is None else chart
        lit = self.camera_rgb(np.vstack([patches, np.full(31, grey), swatch, np.full(31, 0.3)]))
        picture = np.empty((HEIGHT, WIDTH, 3))
        picture[:] = lit[26]
        _lay_chart(picture, lit[:24])
        _lay_disc(picture, CARD_AT, CARD_RADIUS + 4, lit[24])
        _lay_disc(picture, SWATCH_AT, SWATCH_RADIUS + 4, lit[25])
        picture *= 1.0 + self.slope * np.linspace(-0.5, 0.5, WIDTH)[None, :, None]
        return Photo("desk.png", self.developed(picture))

    def camera_rgb(self, reflectance: Floats) -> Floats:
        """(..., 3) linear light as the camera hands it on: white balance and its own matrix."""
        smooth = _smooth_colours()
        daylight = self._raw(smooth, "D65")
        matrix = np.linalg.lstsq(daylight, linear_srgb_from_reflectance(smooth), rcond=None)[0]
        return self._raw(reflectance, self.light) @ matrix * self.off_white * self.exposure

    def developed(self, linear: Floats) -> np.ndarray:
        """Noise, tone curve, encoding, 8 bits."""
        rng = np.random.default_rng(self.seed)
        noise = np.sqrt(np.maximum(linear, 0.0) / FULL_WELL) + 0.0005
        encoded = encoded_from_linear(linear + noise * rng.normal(size=linear.shape))
        smooth_step = encoded**2 * (3.0 - 2.0 * encoded)
        encoded = (1.0 - self.curve) * encoded + self.curve * smooth_step
        return np.floor(255.0 * encoded + 0.5).astype(np.uint8)

    def _raw(self, reflectance: Floats, light: str) -> Floats:
        """Sensor values, balanced on the light itself."""
        sensitivity = self._on_grid(self.colour.MSDS_CAMERA_SENSITIVITIES[self.camera])
        lit = self._on_grid(self.colour.SDS_ILLUMINANTS[light])[:, None] * sensitivity
        return np.asarray(reflectance @ lit / lit.sum(axis=0))

    def _on_grid(self, spectra: Any) -> Floats:
        """Values at 400-700 nm by 10 nm, 0 where nothing was published."""
        nm, values = spectra.wavelengths, np.asarray(spectra.values)
        columns = values.reshape(len(nm), -1).T
        laid = [np.interp(WAVELENGTHS_NM, nm, column, right=0.0) for column in columns]
        return np.squeeze(np.stack(laid, axis=-1))


def chart_spectra(colour: ModuleType, name: str) -> Floats:
    """(24, 31) reflectance of a published set of chart spectra."""
    patches = list(colour.SDS_COLOURCHECKERS[name].values())
    return np.stack([np.interp(WAVELENGTHS_NM, p.wavelengths, p.values) for p in patches])


def corners_of(box: Sequence[int] = CHART_BOX) -> Floats:
    """(4, 2) outer corners of the patch field."""
    left, top, right, bottom = box
    return np.array([[left, top], [right, top], [right, bottom], [left, bottom]], dtype=float)


@cache
def _smooth_colours() -> Floats:
    """(27, 31) smooth reflectances over sRGB, which the camera's own matrix is made for."""
    steps = np.array([0.05, 0.3, 0.8])
    cube = np.stack(np.meshgrid(steps, steps, steps), axis=-1).reshape(-1, 3)
    return reflectance_from_xyz(xyz_from_linear(cube))[0]


def _lay_chart(picture: Floats, patches: Floats) -> None:
    """24 patches with gaps of 12 % on black."""
    left, top, right, bottom = CHART_BOX
    wide, tall = (right - left) / 6, (bottom - top) / 4
    picture[top - 10 : bottom + 10, left - 10 : right + 10] = 0.03
    for number, colour in enumerate(patches):
        x, y = left + wide * (number % 6), top + tall * (number // 6)
        gap = 0.06 * wide
        picture[round(y + gap) : round(y + tall - gap), round(x + gap) : round(x + wide - gap)] = (
            colour
        )


def _lay_disc(picture: Floats, at: tuple[int, int], radius: int, colour: Floats) -> None:
    """A disc of one colour."""
    y, x = np.mgrid[: picture.shape[0], : picture.shape[1]]
    picture[(x - at[0]) ** 2 + (y - at[1]) ** 2 <= radius**2] = colour
