"""Units, axes and heights: what is taken for what, and that it is said."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from preview.areas import load_sculpt
from preview.areas.placing import turned
from preview.errors import UsageError
from preview.settings import UP_AXES
from tests.areas.small_meshes import Mesh, ball, box, joined, obj_text, write_stl


def _figure(scale: float = 1.0) -> Mesh:
    """A base of 20 x 24 x 2 with a ball on a stick: 30 mm high, flat below only."""
    stick = box((9, 11, 1), (2, 2, 20))
    vertices, faces = joined(box((0, 0, 0), (20, 24, 2)), stick, ball((10, 12, 25), 5))
    return vertices * scale, faces


def _with_up(mesh: Mesh, up: str) -> Mesh:
    """The mesh lying so that `up` is its upward axis: the way back from `turned`."""
    back = turned(np.eye(3), up)
    return mesh[0] @ back.T, mesh[1]


def test_turns_bring_each_axis_up_and_mirror_nothing() -> None:
    for up in UP_AXES:
        matrix = turned(np.eye(3), up)
        axis = np.zeros(3)
        axis["xyz".index(up[-1])] = -1 if up.startswith("-") else 1
        assert turned(axis[None], up)[0].tolist() == [0, 0, 1]
        assert np.linalg.det(matrix) == pytest.approx(1)


@pytest.mark.parametrize("up", UP_AXES)
def test_a_flat_base_tells_what_is_up(up: str, tmp_path: Path) -> None:
    sculpt = load_sculpt(write_stl(tmp_path / "f.stl", _with_up(_figure(), up)))
    assert sculpt.placement.up == up
    assert "flat base" in sculpt.placement.why
    assert sculpt.placement.height_mm == pytest.approx(30)
    assert sculpt.vertices[:, 2].max() == pytest.approx(30)
    top = sculpt.vertices[sculpt.vertices[:, 2] > 15]
    assert np.ptp(top, axis=0) == pytest.approx([10, 10, 10], abs=0.1)


@pytest.mark.parametrize(
    ("scale", "height_mm", "unit"),
    [(1, 30, "mm"), (0.51, 15.3, "mm"), (4.9, 147, "mm"), (0.49, 32, "scaled"), (5.1, 32, "scaled"),
     (0.001, 32, "scaled"), (1 / 25.4, 32, "scaled"), (1e6, 32, "scaled")],
)  # fmt: skip
def test_heights_of_15_to_150_are_mm_and_others_are_scaled(
    scale: float, height_mm: float, unit: str, tmp_path: Path
) -> None:
    placement = load_sculpt(write_stl(tmp_path / "f.stl", _figure(scale))).placement
    assert placement.height_mm == pytest.approx(height_mm, rel=1e-5)
    assert placement.unit == unit
    assert placement.mm_per_unit == pytest.approx(height_mm / (30 * scale), rel=1e-5)
    assert ("taken as mm" in placement.why) == (unit == "mm")


@pytest.mark.parametrize(
    ("unit", "per_unit"),
    [("mm", 1), ("cm", 10), ("inch", 25.4), ("in", 25.4), ("m", 1000), ("Meter", 1000),
     ("micron", 0.001), ("foot", 304.8)],
)  # fmt: skip
def test_a_unit_that_is_given_prevails(unit: str, per_unit: float, tmp_path: Path) -> None:
    placement = load_sculpt(write_stl(tmp_path / "f.stl", _figure()), unit=unit).placement
    assert placement.height_mm == pytest.approx(30 * per_unit)
    assert "as asked" in placement.why


def test_a_height_that_is_given_prevails(tmp_path: Path) -> None:
    path = write_stl(tmp_path / "f.stl", _figure())
    sculpt = load_sculpt(path, figure_mm=54)
    assert sculpt.placement.height_mm == pytest.approx(54)
    whole = load_sculpt(path)
    assert float(sculpt.mm2.sum()) == pytest.approx(float(whole.mm2.sum()) * (54 / 30) ** 2)


def test_an_axis_that_is_given_prevails(tmp_path: Path) -> None:
    sculpt = load_sculpt(write_stl(tmp_path / "f.stl", _figure()), up="+Y", unit="mm")
    assert (sculpt.placement.up, sculpt.placement.height_mm) == ("y", pytest.approx(24))


def test_without_a_base_z_is_up_in_a_file_of_printing_size(tmp_path: Path) -> None:
    egg = ball((0, 0, 0), 1)
    path = write_stl(tmp_path / "f.stl", (egg[0] * (10, 30, 12), egg[1]))
    placement = load_sculpt(path).placement
    assert (placement.up, placement.height_mm) == ("z", pytest.approx(24))
    assert "usual in files for printing" in placement.why


def test_without_a_base_the_longer_of_y_and_z_is_up_in_a_file_of_another_size(
    tmp_path: Path,
) -> None:
    egg = ball((0, 0, 0), 1)
    for shape, up in (((0.2, 0.9, 0.3), "y"), ((0.2, 0.3, 0.9), "z")):
        placement = load_sculpt(write_stl(tmp_path / "f.stl", (egg[0] * shape, egg[1]))).placement
        assert (placement.up, placement.height_mm) == (up, pytest.approx(32))


def test_a_figure_far_from_the_origin_keeps_its_form(tmp_path: Path) -> None:
    vertices, faces = _figure()
    path = tmp_path / "f.obj"
    path.write_text(obj_text({"a": (vertices + np.array([5e6, -5e6, 5e6]), faces)}))
    far = load_sculpt(path)
    path.write_text(obj_text({"a": (vertices, faces)}))
    near = load_sculpt(path)
    assert np.abs(far.vertices - near.vertices).max() < 1e-5
    assert np.array_equal(far.faces, near.faces)


def test_coarse_steps_far_from_the_origin_are_said(tmp_path: Path) -> None:
    vertices, faces = _figure()
    path = write_stl(tmp_path / "f.stl", (vertices + 1e5, faces))
    assert "tells places apart by 0.0078 mm only" in load_sculpt(path).placement.why


def test_a_flat_sheet_lying_down_still_gets_a_size(tmp_path: Path) -> None:
    corners = np.array([[0, 0, 0], [40, 0, 0], [40, 30, 0], [0, 30, 0]], float)
    sculpt = load_sculpt(
        write_stl(tmp_path / "f.stl", (corners, np.array([[0, 1, 2], [0, 2, 3]]))), up="z"
    )
    assert float(sculpt.mm2.sum()) == pytest.approx(1200)
    assert sculpt.placement.height_mm == 0


@pytest.mark.parametrize("turn", [180.0, 90.0, -90.0, 30.0, 360.0])
def test_a_turn_goes_counter_clockwise_seen_from_above(turn: float, tmp_path: Path) -> None:
    path = write_stl(tmp_path / "f.stl", _figure())
    still, moved = load_sculpt(path), load_sculpt(path, turn_deg=turn)
    angle = np.radians(turn)
    out = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    expected = still.vertices.astype(np.float64)
    expected[:, :2] = expected[:, :2] @ out.T
    low, high = expected[:, :2].min(axis=0), expected[:, :2].max(axis=0)
    expected[:, :2] -= (low + high) / 2
    assert np.abs(moved.vertices - expected).max() < 1e-5
    assert np.array_equal(moved.faces, still.faces)
    assert moved.placement.turn_deg == turn
    assert f"turned by {turn:g}° as asked" in moved.placement.why


@pytest.mark.parametrize("turn", [-361.0, 361.0, float("nan")])
def test_a_turn_that_is_none_is_refused(turn: float, tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="--turn must be from -360 to 360 degrees"):
        load_sculpt(write_stl(tmp_path / "f.stl", _figure()), turn_deg=turn)
