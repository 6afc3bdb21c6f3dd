"""What is mended: bodies damaged in a known way come back, and it is said with the right count."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from preview.areas import Sculpt, load_sculpt
from preview.areas.repairs import Repair, counted, told
from preview.areas.winding import against_their_neighbours, shells_inside_out
from preview.shape.neighbours import neighbours_of, shells_of
from tests.areas.small_meshes import Mesh, ball, box, joined, obj_text, write_stl

BALL = ball((0, 0, 20), 20)
COUNT = len(BALL[1])


def _load(folder: Path, mesh: Mesh) -> Sculpt:
    return load_sculpt(write_stl(folder / "f.stl", mesh), unit="mm", up="z")


def _volume(sculpt: Sculpt) -> float:
    a, b, c = (sculpt.corners[:, k].astype(np.float64) for k in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6)


def _turned(mesh: Mesh, which: NDArray[np.bool_]) -> Mesh:
    return mesh[0], np.where(which[:, None], mesh[1][:, ::-1], mesh[1])


def _assert_same_surface(one: Sculpt, other: Sculpt) -> None:
    """The same faces of the file, facing the same way."""
    assert np.array_equal(one.source_face, other.source_face)
    assert np.abs(np.sort(one.corners, axis=1) - np.sort(other.corners, axis=1)).max() < 1e-5
    assert np.einsum("ij,ij->i", one.normal, other.normal).min() > 0.999


@pytest.mark.parametrize("share", [0.02, 0.3, 0.45])
def test_flipped_faces_are_turned_back(share: float, tmp_path: Path) -> None:
    flipped = np.random.default_rng(5).random(COUNT) < share
    sculpt = _load(tmp_path, _turned(BALL, flipped))
    assert sculpt.repairs == (f"turned {flipped.sum():,} faces wound against the neighbours",)
    _assert_same_surface(sculpt, _load(tmp_path, BALL))
    assert _volume(sculpt) == pytest.approx(_volume(_load(tmp_path, BALL)))


def test_a_body_inside_out_is_turned_whole(tmp_path: Path) -> None:
    sculpt = _load(tmp_path, _turned(BALL, np.ones(COUNT, np.bool_)))
    assert sculpt.repairs == ("turned 1 shell that was inside out",)
    assert _volume(sculpt) == pytest.approx(4 / 3 * np.pi * 20**3, rel=0.02)


def test_each_shell_is_turned_by_itself(tmp_path: Path) -> None:
    bodies = [box((25 * k, 0, 0), (20, 20, 20)) for k in range(4)]
    flipped = np.repeat([False, True, False, True], 12)
    sculpt = _load(tmp_path, _turned(joined(*bodies), flipped))
    assert sculpt.repairs == ("turned 2 shells that were inside out",)
    assert _volume(sculpt) == pytest.approx(4 * 20**3)


def test_repeated_and_flat_faces_are_left_out(tmp_path: Path) -> None:
    vertices, faces = BALL
    flat = np.array([[0, 0, 1], [5, 6, 5], [7, 7, 7]])
    again = np.roll(faces[:10], 1, axis=1)
    sculpt = _load(tmp_path, (vertices, np.concatenate((again, faces, flat))))
    assert sculpt.repairs == (
        "left out 3 faces without area",
        "left out 10 faces that repeated another",
    )
    assert len(sculpt.faces) == COUNT
    assert set(sculpt.source_face.tolist()) == set(range(10)) | set(range(20, COUNT + 10))


def test_the_way_back_to_the_faces_of_the_file_holds(tmp_path: Path) -> None:
    chance = np.random.default_rng(3)
    vertices, faces = BALL
    soup = vertices[faces].astype(np.float32)
    soup[chance.choice(COUNT, 20, replace=False), 0, 0] = np.nan
    soup[100] = soup[200]
    sculpt = _load(tmp_path, (soup.reshape(-1, 3), np.arange(3 * COUNT).reshape(-1, 3)))
    back = soup[sculpt.source_face]
    low, high = np.nanmin(back, axis=(0, 1)), np.nanmax(back, axis=(0, 1))
    moved = back - np.array([*(low[:2] + high[:2]) / 2, low[2]])
    assert np.abs(np.sort(moved, axis=1) - np.sort(sculpt.corners, axis=1)).max() < 1e-4


def test_cracks_of_rounded_numbers_are_closed(tmp_path: Path) -> None:
    vertices, faces = BALL
    soup = vertices[faces].reshape(-1, 3)
    soup = soup + np.random.default_rng(1).uniform(-3e-5, 3e-5, soup.shape)
    path = tmp_path / "f.obj"
    path.write_text(obj_text({"ball": (soup, np.arange(len(soup)).reshape(-1, 3))}))
    sculpt = load_sculpt(path, unit="mm", up="z")
    assert len(neighbours_of(sculpt.faces).open_face) == 0
    assert len(sculpt.faces) == COUNT
    (said,) = sculpt.repairs
    assert said.endswith("corners across cracks")


def test_gaps_wider_than_a_crack_stay_open(tmp_path: Path) -> None:
    left, right = box((0, 0, 0), (10, 10, 20)), box((10.001, 0, 0), (10, 10, 20))
    sculpt = _load(tmp_path, joined(left, right))
    assert len(sculpt.area_names) == 2
    assert sculpt.repairs == ()


def test_holes_stay_and_do_not_turn_a_body(tmp_path: Path) -> None:
    keep = np.random.default_rng(8).random(COUNT) > 0.05
    vertices, faces = BALL
    whole = _load(tmp_path, (vertices, faces[keep]))
    assert whole.repairs == ()
    turned = _load(tmp_path, (vertices, faces[keep][:, ::-1]))
    assert turned.repairs == ("turned 1 shell that was inside out",)
    _assert_same_surface(turned, whole)


def test_an_open_sheet_keeps_its_winding() -> None:
    grid = np.array([[x, y, 0.1 * x * x] for x in range(6) for y in range(6)], float)
    index = np.arange(36).reshape(6, 6)
    a, b, c, d = (v.ravel() for v in (index[:-1, :-1], index[1:, :-1], index[1:, 1:],
                                      index[:-1, 1:]))  # fmt: skip
    faces = np.concatenate((np.stack((a, b, c), 1), np.stack((a, c, d), 1)))
    for sheet in (faces, faces[:, ::-1]):
        count, shell = shells_of(len(sheet), neighbours_of(sheet))
        assert not shells_inside_out(grid, sheet, shell, count).any()


def test_a_strip_with_one_side_is_left_as_it_is() -> None:
    # Five quads in a ring whose ends are joined with half a turn: a Möbius strip.
    top, bottom = np.arange(5), np.arange(5) + 5
    after_top, after_bottom = np.append(top[1:], bottom[0]), np.append(bottom[1:], top[0])
    faces = np.concatenate(
        (np.stack((top, bottom, after_bottom), 1), np.stack((top, after_bottom, after_top), 1))
    )
    assert not against_their_neighbours(len(faces), neighbours_of(faces)).any()


def test_the_fewer_faces_are_turned_in_every_patch() -> None:
    bodies = joined(box((0, 0, 0), (1, 1, 1)), box((3, 0, 0), (1, 1, 1)))
    flipped = np.zeros(24, np.bool_)
    flipped[[0, 5]] = True
    flipped[12:] = True
    flipped[20] = False
    faces = _turned(bodies, flipped)[1]
    turn = against_their_neighbours(24, neighbours_of(faces))
    assert np.flatnonzero(turn).tolist() == [0, 5, 20]


def test_repairs_of_one_kind_are_told_once() -> None:
    repairs = [
        Repair("left out", 1, "face", "without area"),
        Repair("joined", 2, "corner", "across cracks"),
        Repair("left out", 1999, "face", "without area"),
    ]
    assert told(repairs) == (
        "left out 2,000 faces without area",
        "joined 2 corners across cracks",
    )
    assert counted(1, "face") == "1 face"
