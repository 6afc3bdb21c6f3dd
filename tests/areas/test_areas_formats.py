"""Every format gives the same figure: two boxes, 600 mm² and 2,200 mm², by their names."""

from __future__ import annotations

import base64
import json
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from preview.areas import areas_of, load_sculpt
from tests.areas.small_meshes import (
    Mesh,
    box,
    gltf_scene,
    joined,
    model_mesh,
    obj_text,
    ply_text,
    stl_text,
    write_3mf,
    write_glb,
    write_stl,
)

HEAD = box((5, 5, 20.5), (10, 10, 10))
BODY = box((0, 0, 0), (20, 30, 10))
PARTS: dict[str, Mesh] = {"stone head": HEAD, "body": BODY}
OWN = ' pid="7" p1="1"'
MM2 = {"body": 2200.0, "stone head": 600.0}


def _write(path: Path, text: str) -> Path:
    path.write_text(text, encoding="utf-8")
    return path


def _stl_text(folder: Path) -> Path:
    return _write(folder / "f.stl", stl_text(PARTS))


def _stl_text_with_commas(folder: Path) -> Path:
    return _write(folder / "f.stl", stl_text(PARTS).replace(".", ","))


def _stl_text_in_capitals(folder: Path) -> Path:
    text = stl_text(PARTS).upper().replace("STONE HEAD", "stone head").replace(" BODY", " body")
    return _write(folder / "f.STL", text)


def _obj_materials(folder: Path) -> Path:
    return _write(folder / "f.obj", "mtllib missing.mtl\n" + obj_text(PARTS))


def _obj_groups(folder: Path) -> Path:
    return _write(folder / "f.obj", obj_text(PARTS, "g"))


def _obj_objects(folder: Path) -> Path:
    return _write(folder / "f.obj", obj_text(PARTS, "o").replace("\n", "\r\n"))


def _3mf_materials(folder: Path) -> Path:
    resources = (
        '<basematerials id="7"><base name="stone head" displaycolor="#FF0000"/>'
        '<base name="body" displaycolor="#00FF00FF"/></basematerials>'
        f'<object id="1" pid="7" pindex="0">{model_mesh(HEAD)}</object>'
        f'<object id="2">{model_mesh(BODY, OWN)}</object>'
    )
    return write_3mf(folder / "f.3mf", resources, '<item objectid="1"/><item objectid="2"/>')


def _3mf_objects(folder: Path) -> Path:
    resources = (
        f'<object id="1" name="stone head">{model_mesh(box((0, 0, 0), (1, 1, 1)))}</object>'
        f'<object id="2" name="body">{model_mesh(BODY)}</object>'
        '<object id="3"><components>'
        '<component objectid="1" transform="10 0 0 0 10 0 0 0 10 5 5 20.5"/>'
        '<component objectid="2"/></components></object>'
    )
    return write_3mf(folder / "f.3mf", resources, '<item objectid="3"/>')


def _glb_materials(folder: Path) -> Path:
    return write_glb(folder / "f.glb", *gltf_scene(PARTS))


def _glb_nodes(folder: Path) -> Path:
    return write_glb(folder / "f.glb", *gltf_scene(PARTS, "nodes"))


def _gltf_beside(folder: Path) -> Path:
    scene, data = gltf_scene(PARTS)
    (folder / "a part.bin").write_bytes(data)
    scene["buffers"][0]["uri"] = "a%20part.bin"
    return _write(folder / "f.gltf", json.dumps(scene))


def _gltf_inside(folder: Path) -> Path:
    scene, data = gltf_scene(PARTS)
    inside = base64.b64encode(data).decode()
    scene["buffers"][0]["uri"] = "data:application/octet-stream;base64," + inside
    return _write(folder / "f.gltf", json.dumps(scene))


WRITERS: dict[str, Callable[[Path], Path]] = {
    "STL text": _stl_text,
    "STL text, decimal commas": _stl_text_with_commas,
    "STL text, capitals": _stl_text_in_capitals,
    "OBJ materials without MTL": _obj_materials,
    "OBJ groups": _obj_groups,
    "OBJ objects, CRLF": _obj_objects,
    "3MF base materials": _3mf_materials,
    "3MF objects with components": _3mf_objects,
    "GLB materials": _glb_materials,
    "GLB nodes": _glb_nodes,
    "glTF with a file beside": _gltf_beside,
    "glTF with data inside": _gltf_inside,
}


@pytest.mark.parametrize("kind", WRITERS)
def test_named_parts_become_areas_of_the_right_size(kind: str, tmp_path: Path) -> None:
    sculpt = load_sculpt(WRITERS[kind](tmp_path))
    areas = {area.name: area for area in areas_of(sculpt)}
    assert {name: area.faces for name, area in areas.items()} == {"body": 12, "stone head": 12}
    assert {n: a.mm2 for n, a in areas.items()} == pytest.approx(MM2, rel=1e-5)
    assert sculpt.placement.height_mm == pytest.approx(30.5)
    assert sculpt.repairs == ()
    assert sculpt.vertices.min(axis=0) == pytest.approx([-10, -15, 0], abs=1e-4)
    assert sorted(sculpt.source_face.tolist()) == list(range(24))


@pytest.mark.parametrize("per", ["face", "vertex"])
def test_ply_colours_become_areas(per: str, tmp_path: Path) -> None:
    count = 12 if per == "face" else 8
    rgb = [(140, 106, 63)] * count + [(0, 0, 255)] * count
    path = _write(tmp_path / "f.ply", ply_text(joined(HEAD, BODY), rgb, per))
    areas = {area.name: area.mm2 for area in areas_of(load_sculpt(path))}
    assert areas == pytest.approx({"#0000ff": 2200.0, "#8c6a3f": 600.0}, rel=1e-5)


def test_3mf_colour_groups_become_areas(tmp_path: Path) -> None:
    resources = (
        '<m:colorgroup id="4"><m:color color="#8C6A3F"/><m:color color="#0000FFFF"/></m:colorgroup>'
        f'<object id="1" pid="4" pindex="0">{model_mesh(HEAD)}</object>'
        f'<object id="2" pid="4" pindex="1">{model_mesh(BODY)}</object>'
    )
    path = write_3mf(tmp_path / "f.3mf", resources, '<item objectid="1"/><item objectid="2"/>')
    areas = {area.name: area.mm2 for area in areas_of(load_sculpt(path))}
    assert areas == pytest.approx({"#0000ff": 2200.0, "#8c6a3f": 600.0}, rel=1e-5)


def test_3mf_written_in_an_unusual_way_reads_the_same(tmp_path: Path) -> None:
    usual = _3mf_materials(tmp_path).rename(tmp_path / "usual.3mf")
    resources = (
        '<basematerials id="7"><base name="stone head" displaycolor="#FF0000"/>'
        '<base name="body" displaycolor="#00FF00FF"/></basematerials>'
        f'<object id="1" pid="7" pindex="0">{model_mesh(HEAD)}</object>'
        f'<object id="2" pid="7" pindex="1">{model_mesh(BODY)}</object>'
    ).replace("<vertices>", "<!-- places --><vertices >")
    unusual = write_3mf(tmp_path / "odd.3mf", resources, '<item objectid="1"/><item objectid="2"/>')
    one, other = load_sculpt(usual), load_sculpt(unusual)
    assert np.array_equal(one.vertices, other.vertices)
    assert np.array_equal(one.faces, other.faces)
    assert np.array_equal(one.area, other.area)


def test_3mf_keeps_its_unit(tmp_path: Path) -> None:
    inch = box((0, 0, 0), (1, 1, 1))
    path = write_3mf(
        tmp_path / "f.3mf", f'<object id="1">{model_mesh(inch)}</object>', '<item objectid="1"/>',
        unit="inch",
    )  # fmt: skip
    sculpt = load_sculpt(path)
    assert sculpt.placement.height_mm == pytest.approx(25.4)
    assert (sculpt.placement.unit, sculpt.placement.mm_per_unit) == ("inch", 25.4)


def test_binary_stl_is_told_by_its_length_even_if_it_begins_with_solid(tmp_path: Path) -> None:
    path = write_stl(tmp_path / "f.stl", joined(HEAD, BODY), header=b"solid facet normal")
    assert [area.mm2 for area in areas_of(load_sculpt(path))] == pytest.approx([2200, 600])


@pytest.mark.parametrize(
    ("header", "words"),
    [
        (b"COLOR=\xff\xff\xff\xff", [31] * 12 + [31 << 10] * 12),
        (b"", [0x8000 | 31 << 10] * 12 + [0x8000 | 31] * 12),
    ],
    ids=["red lowest", "blue lowest"],
)
def test_colours_in_a_binary_stl(header: bytes, words: list[int], tmp_path: Path) -> None:
    path = write_stl(tmp_path / "f.stl", joined(HEAD, BODY), header=header, words=words)
    areas = {area.name: area.mm2 for area in areas_of(load_sculpt(path))}
    assert areas == pytest.approx({"#0000ff": 2200.0, "#ff0000": 600.0})


def test_obj_polygons_negative_numbers_and_texture_numbers(tmp_path: Path) -> None:
    vertices, _ = HEAD
    lines = [f"v {x} {y} {z} 0.5 0.5 0.5" for x, y, z in vertices.tolist()]
    lines += [
        "vt 0 0", "vn 0 0 1", "f 1/1 3/1 4/1 2/1", "f 5//1 6//1 8//1 7//1",
        "f 1/1/1 2/1/1 6/1/1 \\", "5/1/1", "f -6 -2 -1 -5 # the back", "  f 1 5 7 3", "f 2 4 8 6",
    ]  # fmt: skip
    path = _write(tmp_path / "f.obj", "\n".join(lines) + "\n")
    sculpt = load_sculpt(path, unit="mm", up="z")
    assert float(sculpt.mm2.sum()) == pytest.approx(600)
    assert sorted(sculpt.source_face.tolist()) == [0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 5, 5]
    assert sculpt.exposed.all()
    assert sculpt.repairs == ()


def test_several_files_make_one_figure_by_their_names(tmp_path: Path) -> None:
    files = [write_stl(tmp_path / "head.stl", HEAD), write_stl(tmp_path / "body.stl", BODY)]
    sculpt = load_sculpt(files)
    assert sculpt.area_names == ("body", "head")
    assert [area.mm2 for area in areas_of(sculpt)] == pytest.approx([2200, 600])
    assert sculpt.source_face.max() == 23
    assert "files" in sculpt.areas_from


def test_files_of_different_units_and_axes_are_brought_together(tmp_path: Path) -> None:
    head = write_glb(tmp_path / "head.glb", *gltf_scene({"stone": HEAD}))
    body = write_stl(tmp_path / "body.stl", BODY)
    sculpt = load_sculpt([head, body])
    areas = {area.name: area.mm2 for area in areas_of(sculpt)}
    assert areas == pytest.approx({"body": 2200.0, "stone": 600.0}, rel=1e-4)
    assert sculpt.placement.height_mm == pytest.approx(30.5, rel=1e-5)
    assert any("brought to mm" in said for said in sculpt.repairs)
