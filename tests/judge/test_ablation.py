"""The judge's figures against the observer of pictures, asked about the very border.

A part is painted in its ground's colour and the observer asked how plainly the two pictures
differ. That knows nothing of bars and their lengths, so it tests the closed form, the widths and
the pooling along borders all at once.
"""

from __future__ import annotations

import numpy as np
import pytest

from preview.judge.eye import visibility
from preview.judge.eye.closed_form import ClosedFormEye, bar_sensitivity
from preview.judge.geometry import arcmin_from_mm, pixels_per_degree

PIXEL_MM, LIGHT = 0.1, 25.0


def _scene(part_mm: tuple[float, float], part_y: float, ground_y: float) -> tuple:
    """A part in the middle of a ground of 24 mm on a grey table, with it and without it."""
    without = np.full((480, 480), 0.2)
    without[120:360, 120:360] = ground_y
    with_part = without.copy()
    down, across = (round(0.5 * side / PIXEL_MM) for side in part_mm)
    with_part[240 - down : 240 + down, 240 - across : 240 + across] = part_y
    return with_part, without


@pytest.mark.parametrize("distance_m", [0.6, 1.0, 1.5])
@pytest.mark.parametrize(
    ("part_mm", "part_y", "ground_y"),
    [((1.0, 8.0), 0.35, 0.25), ((0.6, 4.0), 0.16, 0.25), ((4.0, 4.0), 0.30, 0.25)],
)
def test_visibility_by_ablation(
    distance_m: float, part_mm: tuple[float, float], part_y: float, ground_y: float
) -> None:
    shown, without = _scene(part_mm, part_y, ground_y)
    ppd = pixels_per_degree(PIXEL_MM, distance_m)
    exact = visibility(shown, without, ppd, LIGHT)
    size = [np.array(arcmin_from_mm(side, distance_m)) for side in part_mm]
    contrast = abs(part_y - ground_y) / max(ground_y, float(without.mean()))
    assert contrast * float(bar_sensitivity(*size, LIGHT)) == pytest.approx(exact, rel=0.03)
    # The cap keeps what is judged below the observer where parts are wide.
    assert contrast * float(ClosedFormEye().sensitivity(*size, LIGHT)) <= 1.03 * exact
