"""Areas written as material groups and read back the same."""

from __future__ import annotations

import zipfile
from pathlib import Path

import numpy as np
import pytest

from preview.areas.load import load_sculpt
from preview.areas.marks.apply import MarkedFigure
from preview.areas.sculpt import Sculpt
from preview.publish_marks import publish_export
from tests.areas.marked_bodies import SNOWMAN, marks_of, names_of, point_mark, snowman


@pytest.fixture(scope="module")
def painted() -> Sculpt:
    """Three areas, one with a name that XML and shells take amiss."""
    sculpt, _ = snowman(0.8)
    marks = marks_of(*SNOWMAN[:2], point_mark('top hat <& "rim">', (0.0, -3.6, 26.5)))
    return MarkedFigure(sculpt, marks).apply(marks).sculpt


@pytest.mark.parametrize("suffix", ["3mf", "obj", "glb", "ply"])
def test_areas_come_back_with_names_and_places(
    painted: Sculpt, suffix: str, tmp_path: Path
) -> None:
    path = tmp_path / f"figure.{suffix}"
    publish_export(path, painted)
    again = load_sculpt(path)
    assert set(again.area_names) == set(painted.area_names)
    assert len(again.faces) == len(painted.faces)
    assert again.placement.height_mm == pytest.approx(painted.placement.height_mm, rel=1e-5)
    for name in painted.area_names:
        mm2 = painted.mm2[names_of(painted) == name].sum()
        assert again.mm2[names_of(again) == name].sum() == pytest.approx(mm2, rel=1e-4)


def test_3mf_says_millimetres_and_colours_and_is_the_same_each_time(
    painted: Sculpt, tmp_path: Path
) -> None:
    for name in ("one.3mf", "two.3mf"):
        publish_export(tmp_path / name, painted)
    assert (tmp_path / "one.3mf").read_bytes() == (tmp_path / "two.3mf").read_bytes()
    with zipfile.ZipFile(tmp_path / "one.3mf") as package:
        model = package.read("3D/3dmodel.model").decode()
    assert 'unit="millimeter"' in model
    assert model.count("<base ") == 3
    assert model.count("displaycolor=") == 3


def test_trimesh_reads_the_same_materials_from_obj_and_glb(painted: Sculpt, tmp_path: Path) -> None:
    import trimesh

    for suffix in ("obj", "glb"):
        path = tmp_path / f"figure.{suffix}"
        publish_export(path, painted)
        scene = trimesh.load_scene(path)
        found = {g.visual.material.name for g in scene.geometry.values()}
        assert found == set(painted.area_names)
        assert sum(len(g.faces) for g in scene.geometry.values()) == len(painted.faces)
        np.testing.assert_array_less(0, [len(g.faces) for g in scene.geometry.values()])
