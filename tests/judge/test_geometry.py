"""Visual angles against the geometry that ISO 8596 builds its optotypes on."""

from __future__ import annotations

import numpy as np
import pytest

from preview.judge.geometry import (
    PIXELS_PER_DEGREE,
    arcmin_from_mm,
    mm_from_arcmin,
    mm_per_pixel,
    pixels_per_degree,
)

# A Landolt ring of acuity 1.0 has a gap of 1 arc minute and is 5 gaps across (ISO 8596). Sizes in
# mm by distance follow from that angle; 8.73 mm at 6 m is the letter of a 6/6 line (from memory).
LANDOLT = [
    # distance_m, gap_mm, ring_mm, tolerance_mm (half a unit of the last digit given)
    (0.6, 0.1745, 0.873, 5e-4),
    (1.0, 0.2909, 1.454, 5e-4),
    (1.5, 0.4363, 2.182, 5e-4),
    (6.0, 1.745, 8.727, 6e-4),
]

# 1 mm as arc minutes, 2 and 16 arc minutes in mm, 1 degree in mm: by hand, from the tangent.
ANGLES = [
    (0.6, 5.730, 0.349, 2.79, 10.472),
    (1.0, 3.438, 0.582, 4.65, 17.454),
    (1.5, 2.292, 0.873, 6.98, 26.181),
]


@pytest.mark.parametrize(("distance_m", "gap_mm", "ring_mm", "tolerance"), LANDOLT)
def test_landolt_ring(distance_m: float, gap_mm: float, ring_mm: float, tolerance: float) -> None:
    assert mm_from_arcmin(1.0, distance_m) == pytest.approx(gap_mm, abs=tolerance)
    assert mm_from_arcmin(5.0, distance_m) == pytest.approx(ring_mm, abs=tolerance)
    assert arcmin_from_mm(ring_mm, distance_m) == pytest.approx(5.0, rel=5e-4)


@pytest.mark.parametrize(("distance_m", "one_mm", "two", "sixteen", "degree"), ANGLES)
def test_angles_by_distance(
    distance_m: float, one_mm: float, two: float, sixteen: float, degree: float
) -> None:
    assert arcmin_from_mm(1.0, distance_m) == pytest.approx(one_mm, abs=5e-4)
    assert mm_from_arcmin(2.0, distance_m) == pytest.approx(two, abs=5e-4)
    assert mm_from_arcmin(16.0, distance_m) == pytest.approx(sixteen, abs=5e-3)
    assert 1000.0 * distance_m * np.radians(1.0) == pytest.approx(degree, rel=1e-4)


def test_angle_and_size_undo_each_other() -> None:
    sizes = np.geomspace(1e-3, 300.0, 40)
    assert mm_from_arcmin(arcmin_from_mm(sizes, 0.7), 0.7) == pytest.approx(sizes, rel=1e-12)


# 11.46, 6.88 and 4.58 pixels per mm put 120 pixels into a degree: 60 cycles per degree.
@pytest.mark.parametrize(("distance_m", "pixels"), [(0.6, 11.46), (1.0, 6.88), (1.5, 4.58)])
def test_pixel_for_120_per_degree(distance_m: float, pixels: float) -> None:
    assert 1.0 / mm_per_pixel(distance_m) == pytest.approx(pixels, abs=6e-3)
    assert pixels_per_degree(mm_per_pixel(distance_m), distance_m) == pytest.approx(
        PIXELS_PER_DEGREE
    )
