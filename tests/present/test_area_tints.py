"""The areas picture: neighbours apart in lightness, names whole."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from preview.areas.load import load_sculpt
from preview.optics.cie1976_lab import lightness_from_y
from preview.optics.srgb_iec61966 import srgb8_from_linear
from preview.present.area_tints import _gutter, tint_of_area
from preview.present.canvas import font
from preview.present.tints import lightness_steps, tints_of
from preview.render.framing import around, framing
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


def test_skin_and_sleeve_of_a_king_differ_in_lightness(outside_mesh: Callable[[str], Path]) -> None:
    sculpt = load_sculpt([outside_mesh("q_King.glb")])
    front = framing(sculpt.vertices, 400, 400, elevation_deg=15.0)
    renderer = ScanRenderer(sculpt.vertices, sculpt.faces)
    seen = [renderer.see(v, 1) for v in around(front, (("front", 25.0), ("back", 205.0)))]
    light = lightness_from_y(tint_of_area(sculpt, seen) @ LUMINANCE)
    skin, sleeve = (sculpt.area_names.index(name) for name in ("Skin", "Beige"))
    assert abs(light[skin] - light[sleeve]) > 8.0


@pytest.mark.parametrize("seed", range(6))
def test_no_two_of_twenty_areas_have_one_tint_though_they_never_meet(seed: int) -> None:
    meets = np.triu(np.random.default_rng(seed).random((20, 20)) < 0.15, 1)
    beside = (meets | meets.T).astype(float)
    tints = srgb8_from_linear(tints_of(lightness_steps(beside), beside)).astype(int)
    away = np.abs(tints[:, None] - tints[None]).max(axis=2) + 255 * np.eye(20, dtype=int)
    assert away.min() >= 6


def test_a_long_name_has_room() -> None:
    for name in ("belt", "rpg_mini_housecarl", "rpg_mini_goblin_with_bow_0"):
        assert font(21, True).getlength(name) <= 0.9 * _gutter(["belt", name])
