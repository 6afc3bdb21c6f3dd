"""Which names win, and how they are cleaned."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from preview.areas import areas_of, load_sculpt
from preview.areas.naming import chosen, cleaned, from_shells, with_rest
from preview.areas.soup import Labels, labels_from_parts
from tests.areas.small_meshes import box, joined, obj_text, stl_text, write_stl

LEFT, RIGHT = box((0, 0, 0), (20, 20, 20)), box((30, 0, 0), (10, 10, 20))


def _labels(kind: str, *names: str | None) -> Labels:
    return labels_from_parts(kind, names, [1] * len(names))


def test_the_first_kind_that_tells_parts_apart_wins() -> None:
    one_material = _labels("materials", "grey", "grey", "grey")
    groups = _labels("groups", "arm", "leg", "leg")
    objects = _labels("objects", "a", "b", "c")
    found = chosen([objects, groups, one_material])
    assert found is not None
    assert (found.kind, found.names) == ("groups", ("arm", "leg"))
    assert chosen([one_material]) is None
    assert chosen([]) is None


@pytest.mark.parametrize(
    ("names", "clean"),
    [
        (["  steel  plate\n", "b"], ("b", "steel plate")),
        (["skin.001", "b"], ("b", "skin")),
        (["skin", "skin.001"], ("skin", "skin.001")),
        (["skin.001", "skin.002"], ("skin.001", "skin.002")),
        (["part 10", "part 2", "Part 1"], ("Part 1", "part 2", "part 10")),
        (["a\x00b\u200b", "c"], ("a b", "c")),
        (["x" * 200, "c"], ("c", "x" * 60)),
        (["v1.5", "b"], ("b", "v1.5")),
        (["Hair_White", "Ärmel 左"], ("Hair_White", "Ärmel 左")),
    ],
)
def test_names_are_cleaned_and_in_natural_order(names: list[str], clean: tuple[str, ...]) -> None:
    label = cleaned(_labels("materials", *names))
    assert label.names == clean
    assert len(set(label.of_face.tolist())) == len(names)


def test_names_equal_after_cleaning_are_one_area() -> None:
    label = cleaned(_labels("materials", "skin", " skin ", "b"))
    assert (label.names, label.of_face.tolist()) == (("b", "skin"), [1, 1, 0])


def test_faces_without_a_name_get_one() -> None:
    label = _labels("materials", "skin", None, None)
    assert with_rest(label).names == ("skin", "unnamed")
    files = _labels("files", "a", "a", "b")
    assert with_rest(label, files).names == ("a", "b", "skin")
    assert with_rest(label, files).of_face.tolist() == [2, 0, 1]


def test_the_smallest_of_very_many_shells_share_an_area() -> None:
    shell = np.arange(100, dtype=np.int32)
    found = from_shells(shell, 100, np.arange(100, 0, -1.0), np.ones(100, np.bool_))
    assert found is not None
    labels, said = found
    assert len(labels.names) == 64
    assert labels.names[::63] == ("shell 1", "small shells")
    assert labels.of_face.tolist() == [*range(63), *[63] * 37]
    assert "smallest 37 share" in said


def test_crumbs_are_no_areas_of_their_own() -> None:
    shell = np.arange(6, dtype=np.int32)
    mm2, seen = np.array([0.5, 800.0, 0.9, 200.0, 0.1, 1.2]), np.ones(6, np.bool_)
    found = from_shells(shell, 6, mm2, seen)
    assert found is not None
    labels, said = found
    assert labels.names == ("shell 1", "shell 2", "shell 3", "small shells")
    assert labels.of_face.tolist() == [3, 0, 3, 1, 3, 2]
    assert "the smallest 3 share one area" in said
    # One crumb alone has nothing to share an area with.
    one = from_shells(shell[:3] % 3, 3, np.array([800.0, 200.0, 0.1]), seen[:3])
    assert one is not None
    assert one[0].names == ("shell 1", "shell 2", "shell 3")


def test_shells_are_numbered_by_size(tmp_path: Path) -> None:
    sculpt = load_sculpt(write_stl(tmp_path / "f.stl", joined(RIGHT, LEFT)))
    assert [(area.name, area.mm2) for area in areas_of(sculpt)] == [
        ("shell 1", pytest.approx(2400)),
        ("shell 2", pytest.approx(1000)),
    ]
    assert sculpt.areas_from == "the 2 separate shells that can be seen"


def test_a_shell_that_nobody_sees_is_no_area(tmp_path: Path) -> None:
    bubble = box((5, 5, 5), (3, 3, 3))
    alone = load_sculpt(write_stl(tmp_path / "keeper.stl", joined(bubble, LEFT)))
    assert alone.area_names == ("keeper",)
    both = load_sculpt(write_stl(tmp_path / "keeper.stl", joined(bubble, RIGHT, LEFT)))
    assert [(area.name, area.faces, area.mm2) for area in areas_of(both)] == [
        ("shell 1", 24, pytest.approx(2400)),
        ("shell 2", 12, pytest.approx(1000)),
    ]


def test_one_body_is_one_area_named_by_its_file(tmp_path: Path) -> None:
    sculpt = load_sculpt(write_stl(tmp_path / "old keeper.stl", LEFT))
    assert sculpt.area_names == ("old keeper",)
    assert sculpt.area.max() == 0


def test_solids_without_names_and_with_one_name_are_numbered(tmp_path: Path) -> None:
    path = tmp_path / "f.stl"
    for name, first in (("", "solid 1"), ("export", "export 1")):
        text = stl_text({"%": LEFT, "%%": RIGHT}).replace("%%", name).replace("%", name)
        path.write_text(text)
        assert load_sculpt(path).area_names[0] == first


def test_materials_prevail_over_groups_and_objects_of_one_obj(tmp_path: Path) -> None:
    text = obj_text({"cloth": LEFT, "skin": RIGHT})
    text = text.replace("usemtl cloth", "o man\ng torso\nusemtl cloth")
    text = text.replace("usemtl skin", "g head\nusemtl skin")
    path = tmp_path / "f.obj"
    path.write_text(text)
    assert load_sculpt(path).area_names == ("cloth", "skin")
    path.write_text(text.replace("usemtl cloth", "usemtl None").replace("usemtl skin", ""))
    assert load_sculpt(path).area_names == ("head", "torso")
