"""The 24-patch chart: where its patches lie between its corners, and what colours they have."""

from __future__ import annotations

import warnings
from functools import cache

import numpy as np

from preview.optics.appearance import xyz_from_reflectance
from preview.optics.spectrum import WAVELENGTHS_NM, Floats
from preview.photo.spots import Quad, shrunk

COLUMNS, ROWS = 6, 4
# How much of a patch's width is read, about its middle; leaves room for gaps between patches.
_READ = 0.6


@cache
def chart_reflectance() -> Floats:
    """(24, 31) published reflectance of the patches, row by row from the brown one; read-only.

    References
    ----------
    ISO 17321-1, as colour-science ships it.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
    patches = colour.SDS_COLOURCHECKERS["ISO 17321-1"].values()
    curves = np.stack([np.interp(WAVELENGTHS_NM, p.wavelengths, p.values) for p in patches])
    curves.setflags(write=False)
    return curves


def chart_xyz() -> Floats:
    """(24, 3) tristimulus values of the patches under D65, 2 degrees, white Y = 1."""
    return xyz_from_reflectance(chart_reflectance())


def patch_quads(chart: Quad, turned: int) -> list[Quad]:
    """The middle of each of the 24 patches, row by row from the brown one.

    Parameters
    ----------
    chart : the outer corners of its four corner patches, in turn, clockwise as seen.
    turned : which of the corners is the brown patch's, 0 to 3.
    """
    ends = np.roll(chart.corners, -turned, axis=0)
    across, down = np.meshgrid(np.arange(COLUMNS), np.arange(ROWS))
    unit = np.array([[0, 0], [1, 0], [1, 1], [0, 1]])
    cells = np.stack([across.ravel(), down.ravel()], axis=1)[:, None] + unit
    laid = _projected(ends, cells / (COLUMNS, ROWS))
    return [shrunk(cell, _READ) for cell in laid]


def patch_places() -> Floats:
    """(24, 2) place of each patch on the chart, -1 to 1 across and down."""
    across, down = np.meshgrid(np.linspace(-1, 1, COLUMNS), np.linspace(-1, 1, ROWS))
    return np.stack([across.ravel(), down.ravel()], axis=1)


def _projected(corners: Floats, places: Floats) -> Floats:
    """Places in the unit square as a camera sees them, given where the square's corners lie."""
    # The eight numbers of x = (a u + b v + c) / (g u + h v + 1), y likewise with d, e, f
    rows, right = [], []
    for (u, v), (x, y) in zip(((0, 0), (1, 0), (1, 1), (0, 1)), corners, strict=True):
        rows += [[u, v, 1, 0, 0, 0, -u * x, -v * x], [0, 0, 0, u, v, 1, -u * y, -v * y]]
        right += [x, y]
    numbers = np.append(np.linalg.solve(np.array(rows, dtype=float), right), 1.0).reshape(3, 3)
    flat = np.concatenate([places, np.ones((*places.shape[:-1], 1))], axis=-1) @ numbers.T
    return np.asarray(flat[..., :2] / flat[..., 2:])
