"""The areas picture: neighbours apart in lightness, names whole."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from preview.optics.cie1976_lab import lightness_from_y
from preview.present.area_tints import _gutter, tint_of_area
from preview.present.canvas import font
from preview.render.framing import framing
from preview.render.scan import ScanRenderer
from tests.sculpts import sculpt_of, sphere_mesh

LUMINANCE = np.array([0.2126, 0.7152, 0.0722])


def test_areas_side_by_side_differ_in_lightness() -> None:
    vertices, faces = sphere_mesh(15.0, 4)
    middle = vertices[faces].mean(axis=1)[:, 2]
    band = np.minimum(((middle + 15.0) / 30.0 * 12).astype(int), 11)
    sculpt = sculpt_of(vertices, faces, band, tuple(f"band {k}" for k in range(12)))
    view = framing(sculpt.vertices, 200, 200, elevation_deg=10.0)
    seen = ScanRenderer(sculpt.vertices, sculpt.faces).see(view, 1)
    light = lightness_from_y(tint_of_area(sculpt, [seen]) @ LUMINANCE)
    assert min(abs(one - other) for one, other in pairwise(light.tolist())) > 8.0


def test_a_long_name_has_room() -> None:
    for name in ("belt", "rpg_mini_housecarl", "rpg_mini_goblin_with_bow_0"):
        assert font(21, True).getlength(name) <= 0.9 * _gutter(["belt", name])
