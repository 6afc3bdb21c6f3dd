"""The order of painting: what lies deep comes before what stands out."""

from __future__ import annotations

import numpy as np
import trimesh

from preview.flow import Stand
from preview.guide.order import painting_order
from preview.light.lightmap import Rig
from tests.sculpts import sculpt_of


def _stand(parts: list[trimesh.Trimesh], names: tuple[str, ...]) -> Stand:
    """A sculpt of one area a part."""
    whole = trimesh.util.concatenate(parts)
    area = np.repeat(np.arange(len(parts)), [len(p.faces) for p in parts])
    return Stand(sculpt_of(whole.vertices, whole.faces, area, names), "scan")


def _order(stand: Stand) -> list[str]:
    """Names in the order of painting."""
    sky = stand.light(Rig("sky alone")).sky
    return [stand.sculpt.area_names[k] for k in painting_order(stand.sculpt, sky, stand.outline)]


def test_a_core_comes_before_the_bars_around_it() -> None:
    bars = []
    for angle in np.linspace(0.0, 2 * np.pi, 8, endpoint=False):
        bar = trimesh.creation.cylinder(1.5, 30.0, sections=16)
        bar.apply_translation((8 * np.cos(angle), 8 * np.sin(angle), 0))
        bars.append(bar)
    core = trimesh.creation.cylinder(3.0, 26.0, sections=32).subdivide()
    assert _order(_stand([trimesh.util.concatenate(bars), core], ("bars", "core"))) == [
        "core",
        "bars",
    ]


def test_a_skin_under_a_roof_comes_before_the_roof_and_nothing_seen_comes_last() -> None:
    roof = trimesh.creation.box((20, 20, 1)).subdivide().subdivide()
    roof.apply_translation((0, 0, 20))
    head = trimesh.creation.icosphere(subdivisions=3, radius=5)
    head.apply_translation((0, 0, 14))
    inside = trimesh.creation.icosphere(subdivisions=1, radius=1)
    inside.apply_translation((0, 0, 14))
    stand = _stand([roof, inside, head], ("roof", "hidden", "head"))
    stand.sculpt.exposed[stand.sculpt.area == 1] = False
    assert _order(stand) == ["head", "roof", "hidden"]


def test_a_flat_mesh_has_an_order_too() -> None:
    square = np.array([[0, 0, 0], [9, 0, 0], [9, 0, 9], [0, 0, 9]], float)
    faces = np.array([[0, 1, 2], [0, 2, 3]])
    stand = Stand(sculpt_of(square, faces, np.array([0, 1]), ("one", "two")), "scan")
    assert sorted(_order(stand)) == ["one", "two"]
