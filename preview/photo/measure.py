"""The colour of a swatch in a photograph, held against a grey card or a 24-patch chart in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.errors import PhotoFault
from preview.optics.cie1976_lab import lab_from_xyz
from preview.optics.ciede2000 import ciede2000
from preview.optics.spectrum import Floats
from preview.optics.srgb_iec61966 import SRGB_WHITE, xyz_from_linear
from preview.photo.chart import chart_xyz, patch_places, patch_quads
from preview.photo.picture import Photo
from preview.photo.spots import Quad, Reading, Spot, read_spot

# Refused when half of the chart's patches come out further off than this, in CIEDE2000.
WORST_MEDIAN = 4.0
LEAST_PATCHES = 18
# Light that differs by this share from side to side is told, and refused.
UNEVEN, TOO_UNEVEN = 0.1, 0.35
GREY_CARD = 0.18
_TURNS = range(4)


@dataclass(frozen=True, eq=False)
class Measured:
    """A swatch measured in a photograph.

    spots : what was read where: swatch, and card or chart.
    lab : (3,) CIELAB under D65, 2 degrees.
    residual : median and largest CIEDE2000 of the chart's patches after the fit; None with a
        grey card, which cannot tell.
    patches : how many patches of the chart were used; 0 with a grey card.
    notes : a sentence for each thing that makes the measurement less sure.
    """

    photo: Photo
    spots: Mapping[str, Spot]
    lab: Floats
    residual: tuple[float, float] | None
    patches: int
    notes: tuple[str, ...]

    @property
    def source(self) -> str:
        """The photograph, and what it was held against."""
        if self.residual is None:
            return f"{self.photo.name}, grey card"
        return f"{self.photo.name}, 24-patch chart, residual {self.residual[0]:.1f} ΔE00"


def measure_by_card(photo: Photo, swatch: Spot, card: Spot, grey: float = GREY_CARD) -> Measured:
    """The swatch's colour, by three gains that make a neutral card come out as it is.

    Parameters
    ----------
    photo : in sRGB.
    swatch, card : where they lie; both under the same light.
    grey : the card's reflectance, in (0, 1].

    Raises
    ------
    PhotoFault : a spot lies outside, is clipped, or the light on the card is too uneven.

    Notes
    -----
    Leaves out: that a camera sees colours otherwise than an eye, and its tone curve; both stay
    in the result.
    """
    own, neutral = _readable(photo, swatch, "--swatch"), _readable(photo, card, "--card")
    xyz = xyz_from_linear(own.linear * (grey / neutral.linear))
    return Measured(
        photo=photo,
        spots={"swatch": swatch, "card": card},
        lab=lab_from_xyz(xyz, SRGB_WHITE),
        residual=None,
        patches=0,
        notes=(*photo.notes, *_unevenness(photo, neutral.slope, "the card")),
    )


def measure_by_chart(photo: Photo, swatch: Spot, chart: Quad) -> Measured:
    """The swatch's colour, by the 3 x 4 matrix that fits a 24-patch chart best in linear light.

    Parameters
    ----------
    photo : in sRGB.
    swatch : where it lies, under the same light as the chart.
    chart : the outer corners of the chart's corner patches. Which of them is the brown patch's
        is found out.

    Raises
    ------
    PhotoFault : a spot lies outside or is clipped, no chart is found at the corners, or the
        light on it is too uneven.

    Notes
    -----
    Holds exactly: where a camera's linear light is the tristimulus values times a matrix plus
    a constant, these come back.
    """
    own = _readable(photo, swatch, "--swatch")
    fits = [_fit(photo, chart, turned) for turned in _TURNS]
    best = min(fits, key=lambda fit: float(np.median(fit.residuals)))
    median, largest = float(np.median(best.residuals)), float(best.residuals.max())
    if median > WORST_MEDIAN:
        raise PhotoFault(
            f"no 24-patch chart fits at these corners: half of its patches are more than "
            f"{median:.1f} ΔE00 off, {WORST_MEDIAN:g} at most are taken",
            f"{photo.name}, --chart",
            "give the outer corners of its four corner patches; no filters on the photograph, "
            "even light, no glare",
        )
    notes = [*photo.notes, *_unevenness(photo, best.slope, "the chart")]
    left_out = len(best.used) - int(best.used.sum())
    if left_out:
        notes.append(f"{left_out} patches of the chart are too bright or too dark and left out")
    xyz = np.append(own.linear, 1.0) @ best.matrix
    return Measured(
        photo=photo,
        spots={"swatch": swatch, "chart": chart},
        lab=lab_from_xyz(xyz, SRGB_WHITE),
        residual=(median, largest),
        patches=int(best.used.sum()),
        notes=tuple(notes),
    )


@dataclass(frozen=True, eq=False)
class _Fit:
    """A chart fitted: (4, 3) matrix, CIEDE2000 per used patch, which were used, its slope."""

    matrix: Floats
    residuals: Floats
    used: NDArray[np.bool_]
    slope: float


def _fit(photo: Photo, chart: Quad, turned: int) -> _Fit:
    """The matrix that brings the patches nearest to their published colours."""
    readings = [read_spot(photo, quad, "--chart") for quad in patch_quads(chart, turned)]
    used = np.array([not reading.clipped for reading in readings])
    if used.sum() < LEAST_PATCHES:
        raise PhotoFault(
            f"{24 - used.sum()} of the chart's patches are too bright or too dark",
            f"{photo.name}, --chart",
            "expose so that neither white nor black nor the strongest colours clip",
        )
    linear = np.stack([reading.linear for reading in readings])[used]
    wanted = chart_xyz()[used]
    with_one = np.concatenate([linear, np.ones((len(linear), 1))], axis=1)
    # Weigh the patches so that an error counts by how visible it is at their lightness
    weigh = wanted[:, 1:2] ** (-2.0 / 3.0)
    matrix = np.linalg.lstsq(with_one * weigh, wanted * weigh, rcond=None)[0]
    got = with_one @ matrix
    residuals = ciede2000(lab_from_xyz(got, SRGB_WHITE), lab_from_xyz(wanted, SRGB_WHITE))
    return _Fit(matrix, residuals, used, _slope(got[:, 1], wanted[:, 1], patch_places()[used]))


def _slope(got: Floats, wanted: Floats, places: Floats) -> float:
    """How much brighter the chart is on one side than on the other, as a share."""
    ratio = np.log(np.maximum(got, 1e-4) / wanted)
    plane = np.concatenate([places, np.ones((len(places), 1))], axis=1)
    gradient = np.linalg.lstsq(plane, ratio, rcond=None)[0][:2]
    return float(np.exp(2.0 * np.abs(gradient).max()) - 1.0)


def _readable(photo: Photo, spot: Spot, option: str) -> Reading:
    """A spot that is not clipped."""
    reading = read_spot(photo, spot, option)
    if reading.clipped:
        raise PhotoFault(
            f"{option} is {reading.clipped}: some of its pixels hold no more than 0 or 255",
            photo.name,
            "expose otherwise, or choose a place without glare",
        )
    return reading


def _unevenness(photo: Photo, slope: float, what: str) -> Sequence[str]:
    """A note on uneven light; PhotoFault when it is too much."""
    if slope > TOO_UNEVEN:
        raise PhotoFault(
            f"the light differs by {100 * slope:.0f} % across {what}",
            photo.name,
            "photograph in even light: shade outdoors, or a window without sun",
        )
    if slope > UNEVEN:
        return [f"the light differs by {100 * slope:.0f} % across {what}; seek more even light"]
    return []
