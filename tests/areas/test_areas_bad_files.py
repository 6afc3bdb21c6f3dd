"""What is no mesh, or hardly one: refused in one message that says what, where and how to mend."""

from __future__ import annotations

import json
import struct
import zipfile
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from preview.areas import areas_of, load_sculpt
from preview.errors import MeshFault, UsageError
from tests.areas.small_meshes import (
    ball,
    box,
    gltf_scene,
    model_mesh,
    obj_text,
    ply_text,
    stl_text,
    write_3mf,
    write_glb,
    write_stl,
)

CUBE = box((0, 0, 0), (20, 20, 20))
CUBE_OBJ = obj_text({"cube": CUBE})
OBJECT = f'<object id="1">{model_mesh(CUBE)}</object>'
ITEM = '<item objectid="1"/>'


def _refusal(path: Path) -> str:
    with pytest.raises(MeshFault) as caught:
        load_sculpt(path)
    (fault,) = caught.value.faults
    assert str(path) in fault.where
    assert fault.fix
    return fault.what


def _bytes(path: Path, data: bytes) -> Path:
    path.write_bytes(data)
    return path


def test_a_missing_file(tmp_path: Path) -> None:
    assert "no such mesh file" in _refusal(tmp_path / "none.stl")


def test_a_folder(tmp_path: Path) -> None:
    (tmp_path / "folder.stl").mkdir()
    assert "a folder was given" in _refusal(tmp_path / "folder.stl")


@pytest.mark.parametrize("suffix", [".stl", ".obj", ".3mf", ".glb", ".gltf", ".ply"])
@pytest.mark.parametrize(
    "data",
    [b"", b"\0" * 200, b"x", bytes(range(256)) * 20, b"<html>please log in</html>" * 40,
     b"\x89PNG\r\n\x1a\n" + bytes(range(255)) * 30, b"solid\n",
     b"ply\n", b"PK\x03\x04" + b"\0" * 90],
    ids=["empty", "zeros", "one letter", "all bytes", "web page", "picture", "solid", "ply", "zip"],
)  # fmt: skip
def test_what_is_no_mesh_is_refused_whatever_its_suffix(
    suffix: str, data: bytes, tmp_path: Path
) -> None:
    assert _refusal(_bytes(tmp_path / f"figure{suffix}", data))


@pytest.mark.parametrize("suffix", [".blend", ".stlx", ""])
def test_an_unknown_suffix_lists_the_known_ones(suffix: str, tmp_path: Path) -> None:
    with pytest.raises(MeshFault) as caught:
        load_sculpt(_bytes(tmp_path / f"figure{suffix}", b"anything"))
    assert '".stl", ".obj", ".3mf", ".glb", ".gltf", ".ply"' in caught.value.faults[0].fix


@pytest.mark.parametrize("name", ["missing.stl", "figure.blend", "empty.stl"])
def test_what_cannot_even_be_begun_is_refused_without_getting_ready(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun: list[str] = []
    monkeypatch.setattr("preview.areas.load.get_ready", lambda: begun.append(name))
    _bytes(tmp_path / "figure.blend", b"anything")
    _bytes(tmp_path / "empty.stl", b"")
    good = write_stl(tmp_path / "good.stl", CUBE)
    with pytest.raises(MeshFault):
        load_sculpt([good, tmp_path / name])
    assert not begun
    load_sculpt(good)
    assert begun


def test_all_wrong_files_are_told_at_once(tmp_path: Path) -> None:
    good = write_stl(tmp_path / "good.stl", CUBE)
    with pytest.raises(MeshFault) as caught:
        load_sculpt([tmp_path / "a.stl", good, tmp_path / "b.obj"])
    assert [Path(fault.where).name for fault in caught.value.faults] == ["a.stl", "b.obj"]


def test_no_file_at_all() -> None:
    with pytest.raises(MeshFault, match="no mesh file"):
        load_sculpt([])


@pytest.mark.parametrize(
    "corners",
    [np.full((2, 3, 3), np.nan), np.zeros((2, 3, 3)),
     np.array([[[0, 0, 0], [1, 1, 1], [2, 2, 2]]])],
    ids=["no numbers", "one point", "a line"],
)  # fmt: skip
def test_meshes_without_a_surface(corners: np.ndarray, tmp_path: Path) -> None:
    mesh = (corners.reshape(-1, 3), np.arange(corners.size // 3).reshape(-1, 3))
    assert _refusal(write_stl(tmp_path / "f.stl", mesh))


def test_a_binary_stl_of_which_little_is_left(tmp_path: Path) -> None:
    whole = write_stl(tmp_path / "f.stl", ball((0, 0, 20), 20)).read_bytes()
    said = _refusal(_bytes(tmp_path / "f.stl", whole[: len(whole) // 3]))
    assert "is cut off" in said


def test_a_stl_that_was_cut_off_warns_and_mends_nothing(tmp_path: Path) -> None:
    whole = write_stl(tmp_path / "f.stl", ball((0, 0, 20), 20)).read_bytes()
    cut = load_sculpt(_bytes(tmp_path / "f.stl", whole[: len(whole) * 3 // 4]))
    [warning] = cut.warnings
    assert warning.startswith("the file is cut off: ")
    assert cut.repairs == ()
    text = stl_text({"cube": CUBE}).replace("endsolid", "")
    [warning] = load_sculpt(_bytes(tmp_path / "g.stl", text.encode())).warnings
    assert "the text has no end" in warning


def test_a_binary_stl_with_a_count_of_zero_or_bytes_behind(tmp_path: Path) -> None:
    none_told = load_sculpt(write_stl(tmp_path / "a.stl", CUBE, count=0))
    assert none_told.repairs == ("the header counts 0 faces, the file holds 12; all were read",)
    path = write_stl(tmp_path / "b.stl", CUBE)
    more = load_sculpt(_bytes(path, path.read_bytes() + b"made by hand"))
    assert more.repairs == ("left unread 12 bytes after the last face",)
    assert float(more.mm2.sum()) == pytest.approx(2400)


def test_a_text_stl_with_words_for_numbers(tmp_path: Path) -> None:
    text = stl_text({"cube": CUBE}).replace("vertex 2.000000e+01", "vertex twenty", 1)
    sculpt = load_sculpt(_bytes(tmp_path / "f.stl", text.encode()))
    assert len(sculpt.faces) == 11
    assert sculpt.repairs == ("left out 1 face that could not be read",)


def test_an_obj_of_lines_and_one_of_points(tmp_path: Path) -> None:
    assert "no faces" in _refusal(_bytes(tmp_path / "a.obj", b"v 0 0 0\nv 1 0 0\nl 1 2\n"))
    assert "no faces" in _refusal(_bytes(tmp_path / "b.obj", b"v 0 0 0\nv 1 0 0\np 1 2\n"))


def test_obj_faces_that_point_nowhere_or_are_no_faces(tmp_path: Path) -> None:
    text = CUBE_OBJ + "f 1 2 99\nf 1 2\nf one two three\nf 0 1 2\n"
    sculpt = load_sculpt(_bytes(tmp_path / "f.obj", text.encode()))
    assert len(sculpt.faces) == 12
    assert sculpt.repairs == (
        "left out 3 faces that could not be read",
        "left out 1 face that pointed at vertices the file does not hold",
    )


def test_an_obj_cut_off_within_its_last_line(tmp_path: Path) -> None:
    whole = load_sculpt(_bytes(tmp_path / "a.obj", CUBE_OBJ.rstrip("\n").encode()))
    assert (len(whole.faces), whole.repairs) == (12, ())
    cut = load_sculpt(
        _bytes(tmp_path / "b.obj", CUBE_OBJ[: CUBE_OBJ.rfind(" ") + 1].encode() + b"1")
    )
    assert len(cut.faces) == 11


def test_a_3mf_that_asks_for_files_of_the_machine(tmp_path: Path) -> None:
    secret = _bytes(tmp_path / "secret.txt", b"hush")
    before = f'<!DOCTYPE m [<!ENTITY s SYSTEM "file://{secret}">]>'
    resources = OBJECT.replace('id="1"', 'id="1" name="cube"') + "<note>&s;</note>"
    path = write_3mf(tmp_path / "f.3mf", resources, ITEM, before=before)
    sculpt = load_sculpt(path)
    assert "hush" not in repr(sculpt)


def test_a_3mf_whose_entities_multiply(tmp_path: Path) -> None:
    grown = "".join(f'<!ENTITY e{k} "{f"&e{k - 1};" * 100}">' for k in range(1, 9))
    before = f'<!DOCTYPE m [<!ENTITY e0 "x">{grown}]>'
    resources = OBJECT.replace("<object", '<object name="&e8;"')
    assert "cannot be read" in _refusal(
        write_3mf(tmp_path / "f.3mf", resources, ITEM, before=before)
    )


def test_a_3mf_that_unpacks_to_far_too_much(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("preview.areas.read_3mf._LARGEST_UNPACKED", 1000)
    assert "too much" in _refusal(write_3mf(tmp_path / "f.3mf", OBJECT, ITEM))


@pytest.mark.parametrize(
    ("resources", "build", "said"),
    [
        (OBJECT, '<item objectid="9"/>', "object 9, which it does not hold"),
        ('<object id="1"><components><component objectid="1"/></components></object>', ITEM,
         "hold each other without end"),
        ('<object id="1"><mesh><vertices/><triangles/></mesh></object>', ITEM, "no triangle"),
        ("", "", "no triangle"),
        (OBJECT.replace('x="20.0"', 'x="wide"'), ITEM, "cannot be read"),
        (OBJECT.replace('x="20.0"', 'y="1"', 1), ITEM, "cannot be read"),
        (OBJECT, '<item objectid="1" transform="1 0 0"/>', "cannot be read"),
        (OBJECT + "<object", ITEM, "cannot be read"),
    ],
    ids=["no object", "endless", "empty", "nothing", "no number", "twice y", "transform", "cut"],
)  # fmt: skip
def test_3mf_files_that_contradict_themselves(
    resources: str, build: str, said: str, tmp_path: Path
) -> None:
    assert said in _refusal(write_3mf(tmp_path / "f.3mf", resources, build))


def test_a_3mf_cut_off_and_one_without_model(tmp_path: Path) -> None:
    path = write_3mf(tmp_path / "f.3mf", OBJECT, ITEM)
    assert "cut off" in _refusal(_bytes(path, path.read_bytes()[:-200]))
    with zipfile.ZipFile(tmp_path / "g.3mf", "w") as package:
        package.writestr("readme.txt", "hello")
    assert "no model" in _refusal(tmp_path / "g.3mf")


Change = Callable[[dict], None]


def _draco(scene: dict) -> None:
    scene["extensionsRequired"] = ["KHR_draco_mesh_compression"]


def _bare_draco(scene: dict) -> None:
    primitive = scene["meshes"][0]["primitives"][0]
    primitive["extensions"] = {"KHR_draco_mesh_compression": {"bufferView": 0, "attributes": {}}}
    for accessor in scene["accessors"]:
        accessor.pop("bufferView")


def _fractions(scene: dict) -> None:
    scene["accessors"][0]["normalized"] = True


def _no_list(scene: dict) -> None:
    scene["meshes"] = {"figure": 3}


def _no_such_view(scene: dict) -> None:
    scene["accessors"][0]["bufferView"] = 77


def _too_long(scene: dict) -> None:
    scene["accessors"][0]["count"] = 10**9


def _out_of_range(scene: dict) -> None:
    scene["accessors"][0]["count"] = 3


def _no_meshes(scene: dict) -> None:
    scene["nodes"] = [{"name": "empty"}]


def _points(scene: dict) -> None:
    scene["meshes"][0]["primitives"][0]["mode"] = 0


def _climbing(scene: dict) -> None:
    scene["buffers"][0]["uri"] = "../../secret.bin"


def _from_the_net(scene: dict) -> None:
    scene["buffers"][0]["uri"] = "https://localhost/a.bin"


def _missing_beside(scene: dict) -> None:
    scene["buffers"][0]["uri"] = "missing.bin"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (_draco, "KHR_draco_mesh_compression"),
        (_bare_draco, "KHR_draco_mesh_compression"),
        (_fractions, "positions that are fractions"),
        (_no_list, "wrong form"),
        (_no_such_view, "contradicts itself"),
        (_too_long, "contradicts itself"),
        (_out_of_range, "vertices it does not hold"),
        (_no_meshes, "no triangle"),
        (_points, "no triangle"),
        (_climbing, "outside its folder"),
        (_from_the_net, "outside its folder"),
        (_missing_beside, "which is missing"),
    ],
)
def test_gltf_files_that_cannot_be_read(change: Change, said: str, tmp_path: Path) -> None:
    scene, data = gltf_scene({"cube": CUBE})
    change(scene)
    assert said in _refusal(write_glb(tmp_path / "f.glb", scene, data))


def test_a_glb_of_another_version_and_a_gltf_that_is_other_json(tmp_path: Path) -> None:
    old = struct.pack("<4sIIII", b"glTF", 1, 20, 0, 0)
    assert "version 1" in _refusal(_bytes(tmp_path / "f.glb", old))
    assert "does not say so" in _refusal(_bytes(tmp_path / "f.gltf", json.dumps([1]).encode()))


@pytest.mark.parametrize("cut", [0.3, 0.6, 0.9])
def test_a_ply_that_is_cut_off(cut: float, tmp_path: Path) -> None:
    text = ply_text(CUBE, [(1, 2, 3)] * 12)
    assert _refusal(_bytes(tmp_path / "f.ply", text[: int(cut * len(text))].encode()))


def test_a_ply_that_counts_more_than_it_can_hold(tmp_path: Path) -> None:
    text = ply_text(CUBE, [(1, 2, 3)] * 12).replace("element face 12", "element face 999999999999")
    assert "cut off, or its header is wrong" in _refusal(_bytes(tmp_path / "f.ply", text.encode()))


def test_a_ply_of_points(tmp_path: Path) -> None:
    text = ply_text((CUBE[0], CUBE[1][:0]), [])
    assert "no face" in _refusal(_bytes(tmp_path / "f.ply", text.encode()))


@pytest.mark.parametrize(
    ("wish", "said"),
    [
        ({"unit": "mmm"}, 'did you mean "mm"'),
        ({"up": "w"}, "valid: z, y, x"),
        ({"figure_mm": 0.0}, "from 1 to 2000 mm"),
        ({"figure_mm": float("nan")}, "from 1 to 2000 mm"),
        ({"figure_mm": 32.0, "unit": "mm"}, "give one"),
    ],
)
def test_wishes_that_make_no_sense(wish: dict, said: str, tmp_path: Path) -> None:
    with pytest.raises(UsageError) as caught:
        load_sculpt(write_stl(tmp_path / "f.stl", CUBE), **wish)
    assert said in str(caught.value)


def test_a_few_corners_that_are_no_numbers_cost_their_faces_only(tmp_path: Path) -> None:
    vertices, faces = ball((0, 0, 20), 20)
    corners = vertices[faces].reshape(-1, 3)
    corners[3], corners[33] = np.inf, np.nan
    path = write_stl(tmp_path / "f.stl", (corners, np.arange(len(corners)).reshape(-1, 3)))
    sculpt = load_sculpt(path)
    assert sculpt.repairs == ("left out 2 faces with corners that are no numbers",)
    assert np.setdiff1d(np.arange(len(faces)), sculpt.source_face).tolist() == [1, 11]
    assert areas_of(sculpt)[0].faces == len(faces) - 2
