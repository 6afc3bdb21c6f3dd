"""Figures by others, under open licences, and the same figures damaged on purpose.

Face counts and material names are those in the files, as another reader (trimesh 5.2) counts them.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from preview.areas import Sculpt, areas_of, load_sculpt
from preview.errors import MeshFault

pytestmark = pytest.mark.outside_meshes
Find = Callable[[str], Path]

KING = {
    "Beige": 118, "Blue": 536, "DarkBrown": 604, "Eye": 24, "Gold": 1056, "Hair_White": 2356,
    "Metal": 3326, "Metal_Dark": 806, "Skin": 2274,
}  # fmt: skip
WITCH = {"Brown": 368, "Brown2": 626, "Gold": 352, "Hair_Black": 2316, "Purple": 972, "Skin": 2266}
GOBLIN_FACES, GOBLIN_MM = 7586, 25.623


def _counts(sculpt: Sculpt) -> dict[str, int]:
    return {area.name: area.faces for area in areas_of(sculpt)}


@pytest.mark.parametrize("name", ["q_King.glb", "q_King_obj/King.obj", "q_King_13objects.3mf"])
def test_the_king_has_its_nine_materials_in_every_format(name: str, outside_mesh: Find) -> None:
    sculpt = load_sculpt(outside_mesh(name), figure_mm=32)
    assert _counts(sculpt) == KING
    assert "materials" in sculpt.areas_from
    assert sculpt.placement.height_mm == pytest.approx(32)


def test_the_king_is_one_answer_in_three_formats(outside_mesh: Find) -> None:
    names = ("q_King.glb", "q_King_obj/King.obj", "q_King_13objects.3mf")
    one, *others = (areas_of(load_sculpt(outside_mesh(name), figure_mm=32)) for name in names)
    for other in others:
        assert [a.name for a in other] == [a.name for a in one]
        assert [a.mm2 for a in other] == pytest.approx([a.mm2 for a in one], rel=1e-3)
        assert [a.share for a in other] == pytest.approx([a.share for a in one], rel=1e-3)


def test_the_witch_has_her_six_materials(outside_mesh: Find) -> None:
    sculpt = load_sculpt(outside_mesh("q_Witch.glb"))
    counts = _counts(sculpt)
    assert set(counts) == set(WITCH)
    # Faces that repeat another or have no area are left out, and said: at most one in fifty.
    for name, faces in WITCH.items():
        assert 0.97 * faces <= counts[name] <= faces
    assert sum(WITCH.values()) - sum(counts.values()) == 44
    assert sculpt.placement.height_mm == pytest.approx(32)


def test_groups_without_materials(outside_mesh: Find) -> None:
    sculpt = load_sculpt(outside_mesh("makehuman_base.obj"))
    counts = _counts(sculpt)
    assert len(counts) == 139
    assert counts["body"] == 26756
    assert sculpt.placement.up == "y"


@pytest.mark.parametrize(("name", "metres"), [("tds_Athena.stl", 1.503), ("tds_Plato.stl", 0.764)])
def test_statues_in_metres_stand_along_y(name: str, metres: float, outside_mesh: Find) -> None:
    placement = load_sculpt(outside_mesh(name)).placement
    assert placement.up == "y"
    assert placement.height_mm == pytest.approx(32)
    assert placement.mm_per_unit == pytest.approx(32 / metres, rel=1e-3)
    assert "flat base" in placement.why


def test_shells_of_a_printable_part(outside_mesh: Find) -> None:
    sculpt = load_sculpt(outside_mesh("dragon_tail_tip.stl"))
    assert len(sculpt.area_names) == 25
    assert sculpt.placement.height_mm == pytest.approx(21.045, abs=1e-3)
    assert sculpt.vertices.max() < 25


def test_colours_that_blend_give_shells(outside_mesh: Find) -> None:
    sculpt = load_sculpt(outside_mesh("kaykit_Mage_vertexcolour.ply"))
    assert sculpt.area_names[0] == "shell 1"
    assert "too many to name areas" in sculpt.areas_from


MENDED = {
    # file: (faces left, what the repairs must say, height in mm)
    "count_too_big.stl": (7586, "counts 75,860 faces, the file holds 7,586", GOBLIN_MM),
    "degenerate.stl": (7586, "left out 800 faces without area", GOBLIN_MM),
    "duplicate_faces.stl": (7586, "left out 7,586 faces that repeated another", GOBLIN_MM),
    "flipped_30pct.stl": (7586, "turned 2,311 faces wound against the neighbours", GOBLIN_MM),
    "flipped_all.stl": (7586, "turned 1 shell that was inside out", GOBLIN_MM),
    "holes_5pct.stl": (7194, "", GOBLIN_MM),
    "inches.stl": (7586, "", 32.0),
    "metres.stl": (7586, "", 32.0),
    "lying_on_back.stl": (7586, "", GOBLIN_MM),
    "nan_inf.stl": (7583, "left out 3 faces with corners that are no numbers", GOBLIN_MM),
    "offset_1e4.stl": (7572, "without area", GOBLIN_MM),
    "ascii_comma_decimals.stl": (1999, "left out 1 face without area", 22.771),
    "multi_solid_ascii.stl": (15577, "", 38.75),
    "truncated.obj": (4439, "is cut off", 25.391),
    "truncated_ascii.stl": (3568, "the file is cut off", 22.771),
    "truncated_binary.stl": (4625, "2,960 of 7,586 faces are missing", 25.391),
    "3mf_no_build.3mf": (11100, "took 13 objects", 34.275),
    "3mf_unit_inch.3mf": (11100, "", 32.0),
}
REFUSED = {
    "text_not_a_mesh.stl": "not an STL file",
    "truncated.glb": "cut off: 667,564 of 1,335,128 bytes",
    "zero_bytes.stl": "empty",
    "zero_faces_binary.stl": "holds no face",
}


def test_every_damaged_file_is_decided_on(outside_mesh: Find) -> None:
    there = {path.name for path in outside_mesh("nasty").iterdir()}
    assert there == set(MENDED) | set(REFUSED)


@pytest.mark.parametrize("name", MENDED)
def test_damaged_files_that_are_mended(name: str, outside_mesh: Find) -> None:
    faces, said, height_mm = MENDED[name]
    sculpt = load_sculpt(outside_mesh(f"nasty/{name}"))
    assert len(sculpt.faces) == faces
    assert said in "; ".join((*sculpt.warnings, *sculpt.repairs))
    assert ("cut off" in "".join(sculpt.warnings)) == name.startswith("truncated")
    assert sculpt.placement.height_mm == pytest.approx(height_mm, abs=2e-3)
    assert np.isfinite(sculpt.vertices).all()
    assert len(np.unique(sculpt.source_face)) == faces
    assert all(area.faces for area in areas_of(sculpt))


@pytest.mark.parametrize("name", REFUSED)
def test_damaged_files_that_are_refused(name: str, outside_mesh: Find) -> None:
    path = outside_mesh(f"nasty/{name}")
    with pytest.raises(MeshFault) as caught:
        load_sculpt(path)
    (fault,) = caught.value.faults
    assert REFUSED[name] in fault.what
    assert fault.where == str(path)
    assert fault.fix


@pytest.mark.parametrize(
    "name",
    ["degenerate.stl", "duplicate_faces.stl", "flipped_30pct.stl", "flipped_all.stl",
     "offset_1e4.stl", "lying_on_back.stl"],
)  # fmt: skip
def test_mending_gives_back_the_surface(name: str, outside_mesh: Find) -> None:
    whole = load_sculpt(outside_mesh("nasty/count_too_big.stl"))
    mended = load_sculpt(outside_mesh(f"nasty/{name}"))
    assert float(mended.mm2.sum()) == pytest.approx(float(whole.mm2.sum()), rel=1e-5)
    assert _volume(mended) == pytest.approx(_volume(whole), rel=1e-4)
    assert mended.exposed.mean() == pytest.approx(whole.exposed.mean(), abs=0.005)


def _volume(sculpt: Sculpt) -> float:
    a, b, c = (sculpt.corners[:, k].astype(np.float64) for k in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)
