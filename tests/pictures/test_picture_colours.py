"""The picture itself: a decoded paint-only frame shows the colours that its mixes have."""

from __future__ import annotations

import warnings
from pathlib import Path
from types import ModuleType

import numpy as np
from PIL import Image

from preview.areas.sculpt import Sculpt
from preview.flow import Stand, compare_schemes
from preview.publish import Shoot, publish_painting
from preview.ramp.scheme import Scheme


def test_each_step_is_found_in_the_frame_as_colour_science_computes_it(
    ball: Sculpt, layered: Scheme, tmp_path: Path, colour_science: ModuleType
) -> None:
    """Reference: colour-science's sd_to_XYZ (ASTM E308) of the mix, its sRGB and CIEDE2000."""
    stand = Stand(ball, "scan")
    shoot = Shoot(frames=1, size=300, elevation_deg=10.0, lamp=None)
    publish_painting(tmp_path / "out", stand, compare_schemes(stand, [layered])[0], shoot)
    with Image.open(tmp_path / "out" / "frame-000.png") as picture:
        frame = np.asarray(picture).reshape(-1, 3)
    seen_lab = _lab_of_srgb8(np.unique(frame, axis=0), colour_science)
    for step in layered.ramps["plain"].steps:
        wanted = _lab_of_spectrum(step.mix.reflectance, colour_science)
        nearest = colour_science.delta_E(seen_lab, wanted, method="CIE 2000").min()
        assert nearest <= 1.0, step.name


def _lab_of_spectrum(reflectance: np.ndarray, colour: ModuleType) -> np.ndarray:
    """CIELAB D65/2° of a spectrum, by colour-science."""
    shape = colour.SpectralShape(400, 700, 10)
    spectrum = colour.SpectralDistribution(reflectance, shape)
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    with warnings.catch_warnings():
        # It says that it aligns observer and lamp to the spectrum, which is what is wanted.
        warnings.simplefilter("ignore")
        xyz = colour.sd_to_XYZ(spectrum, observer, colour.SDS_ILLUMINANTS["D65"]) / 100
    return colour.XYZ_to_Lab(xyz, colour.CCS_ILLUMINANTS[observer.name]["D65"])


def _lab_of_srgb8(codes: np.ndarray, colour: ModuleType) -> np.ndarray:
    """CIELAB of sRGB bytes, by colour-science."""
    white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    return colour.XYZ_to_Lab(colour.sRGB_to_XYZ(codes / 255.0), white)
