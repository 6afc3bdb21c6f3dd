"""Which faces can be seen, on bodies where geometry says so."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from preview.areas import Sculpt, areas_of, listing, load_sculpt
from preview.areas.exposed import even_directions, exposed_faces
from preview.shape.rays import RayScene
from tests.areas.small_meshes import Mesh, ball, box, joined, stl_text, write_stl


def _load(folder: Path, mesh: Mesh) -> Sculpt:
    return load_sculpt(write_stl(folder / "f.stl", mesh), unit="mm", up="z")


def _seen_in_the_file(sculpt: Sculpt) -> list[bool]:
    """Which faces can be seen, in the order of the file."""
    return sculpt.exposed[np.argsort(sculpt.source_face, kind="stable")].tolist()


def _exposed(mesh: Mesh, closed: bool = True) -> NDArray[np.bool_]:
    scene = RayScene(mesh[0].astype(np.float32), mesh[1])
    return exposed_faces(scene, np.full(len(mesh[1]), closed))


def test_every_face_of_a_convex_body_is_seen(tmp_path: Path) -> None:
    assert _load(tmp_path, ball((0, 0, 10), 10)).exposed.all()
    assert _load(tmp_path, box((0, 0, 0), (20, 30, 40))).exposed.all()


def test_a_ball_inside_a_ball_is_hidden(tmp_path: Path) -> None:
    outer, inner = ball((0, 0, 20), 20), ball((3, 0, 20), 8)
    sculpt = _load(tmp_path, joined(outer, inner))
    assert _seen_in_the_file(sculpt) == [True] * len(outer[1]) + [False] * len(inner[1])


def test_the_inner_wall_of_a_hollow_ball_is_hidden_and_no_fault(tmp_path: Path) -> None:
    outer, (vertices, faces) = ball((0, 0, 20), 20), ball((0, 0, 20), 17)
    sculpt = _load(tmp_path, joined(outer, (vertices, faces[:, ::-1])))
    assert _seen_in_the_file(sculpt) == [True] * len(outer[1]) + [False] * len(faces)
    assert sculpt.repairs == ()


def test_of_two_balls_that_cut_each_other_the_caps_inside_are_hidden(tmp_path: Path) -> None:
    # Radius 10, centres 12 apart: each loses the cap beyond the plane halfway, 4 high.
    left, right = ball((0, 0, 10), 10, 60), ball((12, 0, 10), 10, 60)
    sculpt = _load(tmp_path, joined(left, right))
    whole = 4 * np.pi * 10**2
    cap = 2 * np.pi * 10 * 4
    seen = [area.mm2 for area in areas_of(sculpt)]
    # Faces on the cut count whole: a ring of half their height, 10 * pi / 60 / 2, at most.
    slack = 2 * np.pi * 10 * (10 * np.pi / 60)
    for mm2 in seen:
        assert whole - cap - 5 <= mm2 <= whole - cap + slack


def test_the_caps_of_balls_that_cut_each_other_one_by_one() -> None:
    left, right = ball((0, 0, 0), 10, 60), ball((12, 0, 0), 10, 60)
    mesh = joined(left, right)
    exposed = _exposed(mesh)
    corners = mesh[0][mesh[1]]
    other = np.where(np.arange(len(corners))[:, None] < len(left[1]), (12, 0, 0), (0, 0, 0))
    away = np.linalg.norm(corners - other[:, None, :], axis=2)
    assert not exposed[(away < 9.9).all(axis=1)].any()
    assert exposed[(away > 10.01).all(axis=1)].all()


def test_where_three_balls_cut_each_other_what_is_inside_any_is_hidden() -> None:
    centres = np.array([[0, 0, 0], [9, 0, 0], [4.5, 7, 0]], float)
    mesh = joined(*(ball(centre, 10, 40) for centre in centres))
    exposed = _exposed(mesh)
    corners = mesh[0][mesh[1]]
    own = np.repeat(np.arange(3), len(corners) // 3)
    away = np.linalg.norm(corners[:, :, None, :] - centres, axis=3)
    away[np.arange(len(corners)), :, own] = np.inf
    assert not exposed[(away < 9.9).all(axis=1).any(axis=1)].any()
    assert exposed[(away > 10.01).all(axis=(1, 2))].all()


def test_a_wall_inside_a_box_is_hidden(tmp_path: Path) -> None:
    outer = box((0, 0, 0), (20, 20, 20))
    corners = np.array([[10, 2, 2], [10, 18, 2], [10, 18, 18], [10, 2, 18]], float)
    wall = (corners, np.array([[0, 1, 2], [0, 2, 3]]))
    sculpt = _load(tmp_path, joined(outer, wall))
    assert _seen_in_the_file(sculpt) == [True] * 12 + [False] * 2


def test_the_faces_on_which_two_boxes_stand_are_hidden(tmp_path: Path) -> None:
    below, above = box((0, 0, 0), (20, 20, 20)), box((0, 0, 20), (20, 20, 20))
    sculpt = _load(tmp_path, joined(below, above))
    hidden = ~sculpt.exposed
    assert hidden.sum() == 4
    assert sculpt.corners[hidden][:, :, 2] == pytest.approx(20)


def test_a_large_face_is_seen_when_a_part_of_it_is(tmp_path: Path) -> None:
    # The middles of the plate's faces lie inside the block; a rim of a tenth sticks out.
    plate, block = box((0, 0, 10), (20, 20, 1)), box((2, 2, 0), (16, 16, 30))
    assert _load(tmp_path, joined(plate, block)).exposed[:12].all()


def test_a_sheet_is_seen_from_both_sides() -> None:
    corners = np.array([[0, 0, 0], [10, 0, 0], [10, 10, 0], [0, 10, 0]], float)
    floor = box((-5, -5, 0.5), (20, 20, 5))
    sheet = joined((corners, np.array([[0, 1, 2], [0, 2, 3]])), floor)
    assert _exposed(sheet, closed=False)[:2].all()


def test_the_inside_of_a_well_is_seen_and_that_of_a_sealed_one_is_not() -> None:
    cup = box((0, 0, 0), (10, 10, 10))
    open_cup = (cup[0], cup[1][np.abs(cup[0][cup[1]][:, :, 2] - 10).max(axis=1) > 0])
    bead = ball((5, 5, 5), 1, 8)
    assert _exposed(joined(bead, open_cup), closed=False)[: len(bead[1])].sum() > 0
    assert not _exposed(joined(bead, cup))[: len(bead[1])].any()


@pytest.mark.parametrize("length", [4.0, 8.0, 15.0])
def test_the_floor_of_a_slanting_shaft_is_seen_along_the_shaft(length: float) -> None:
    # A square shaft 1 wide, closed below, and in it a small level floor, seen by no other way.
    along, across = np.array([0.6, 0, 0.8]), np.array([0, 1.0, 0])
    upward = np.cross(along, across)
    ring = np.array([a * across + b * upward for a, b in ((1, 1), (-1, 1), (-1, -1), (1, -1))]) / 2
    walls = np.concatenate((ring - 0.5 * along, ring + length * along))
    sides = [[k, (k + 1) % 4, (k + 1) % 4 + 4] for k in range(4)]
    sides += [[k, (k + 1) % 4 + 4, k + 4] for k in range(4)]
    shaft = (walls, np.array([*sides, [0, 1, 2], [0, 2, 3]]))
    floor = (np.array([[-0.1, -0.1, 0], [0.1, -0.1, 0], [0, 0.1, 0]]), np.array([[0, 1, 2]]))
    lid = (shaft[0], np.array([[4, 5, 6], [4, 6, 7]]))
    assert _exposed(joined(floor, shaft), closed=False)[0]
    assert not _exposed(joined(floor, shaft, lid), closed=False)[0]


def test_hidden_faces_count_in_no_size(tmp_path: Path) -> None:
    parts = {"shell": box((0, 0, 0), (20, 20, 20)), "core": box((5, 5, 5), (10, 10, 10))}
    path = tmp_path / "f.stl"
    path.write_text(stl_text(parts))
    told = listing(load_sculpt(path))
    assert told["areas"] == [
        {"name": "core", "faces": 12, "hidden_faces": 12, "mm2": 0.0, "share": 0.0},
        {"name": "shell", "faces": 12, "hidden_faces": 0, "mm2": 2400.0, "share": 1.0},
    ]
    assert (told["faces"], told["hidden_faces"], told["mm2"]) == (24, 12, 2400.0)


def test_directions_are_spread_evenly() -> None:
    directions = even_directions(500).astype(np.float64)
    assert np.linalg.norm(directions, axis=1) == pytest.approx(1, abs=1e-6)
    assert np.linalg.norm(directions.mean(axis=0)) < 0.005
    second = directions.T @ directions / len(directions)
    assert second == pytest.approx(np.eye(3) / 3, abs=0.005)
    nearest = np.sort(directions @ directions.T, axis=1)[:, -2]
    assert np.degrees(np.arccos(nearest)).min() > 0.5 * np.degrees(np.sqrt(4 * np.pi / 500))
