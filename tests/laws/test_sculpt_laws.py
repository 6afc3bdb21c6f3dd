"""Laws of loading: what may be done to a file without changing the figure in it."""

from __future__ import annotations

import tempfile
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from preview.areas import Sculpt, areas_of, load_sculpt
from tests.areas.small_meshes import Mesh, ball, box, joined, obj_text, write_stl

PARTS: dict[str, Mesh] = {
    "base": box((0, 0, 0), (20, 24, 3)),
    "body": box((6, 8, 2), (8, 8, 16)),
    "head": ball((10, 12, 22), 5, 12),
    "gem": ball((10, 12, 22), 2, 6),
}


def _load(parts: dict[str, Mesh], order: np.random.Generator | None = None) -> Sculpt:
    if order is not None:
        parts = {n: (v, f[order.permutation(len(f))]) for n, (v, f) in parts.items()}
        names = list(parts)
        parts = {names[k]: parts[names[k]] for k in order.permutation(len(names))}
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "figure.obj"
        path.write_text(obj_text(parts), encoding="utf-8")
        return load_sculpt(path)


WHOLE = _load(PARTS)


def _same_areas(sculpt: Sculpt, rel: float = 1e-4) -> None:
    for one, other in zip(areas_of(WHOLE), areas_of(sculpt), strict=True):
        assert (one.name, one.faces) == (other.name, other.faces)
        # Which of the faces that cut another body show a spot may change: at most 2 %.
        assert other.mm2 == pytest.approx(one.mm2, rel=max(rel, 0.02), abs=0.01)
    sizes = np.bincount(WHOLE.area, WHOLE.mm2)
    assert np.bincount(sculpt.area, sculpt.mm2) == pytest.approx(sizes, rel=rel)


def _moved(parts: dict[str, Mesh], matrix: np.ndarray, shift: np.ndarray) -> dict[str, Mesh]:
    return {name: (v @ matrix.T + shift, f) for name, (v, f) in parts.items()}


def test_the_gem_inside_the_head_is_hidden_and_the_rest_is_not() -> None:
    sizes = {area.name: area.mm2 for area in areas_of(WHOLE)}
    assert sizes["gem"] == 0
    assert min(size for name, size in sizes.items() if name != "gem") > 100


@settings(max_examples=12, deadline=None)
@given(st.lists(st.floats(-1e4, 1e4), min_size=3, max_size=3))
def test_a_moved_figure_has_the_same_areas(shift: list[float]) -> None:
    sculpt = _load(_moved(PARTS, np.eye(3), np.array(shift)))
    _same_areas(sculpt)
    assert np.abs(sculpt.vertices - WHOLE.vertices).max() < 1e-4


@settings(max_examples=12, deadline=None)
@given(st.floats(0, 360))
def test_a_figure_turned_about_z_has_the_same_areas(degrees: float) -> None:
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    _same_areas(_load(_moved(PARTS, np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]]), np.zeros(3))))


@settings(max_examples=12, deadline=None)
@given(st.floats(0.6, 5.0))
def test_areas_grow_with_the_square_of_the_size(scale: float) -> None:
    sculpt = _load(_moved(PARTS, scale * np.eye(3), np.zeros(3)))
    assert np.bincount(sculpt.area, sculpt.mm2) == pytest.approx(
        scale**2 * np.bincount(WHOLE.area, WHOLE.mm2), rel=1e-4
    )
    assert [a.share for a in areas_of(sculpt)] == pytest.approx(
        [a.share for a in areas_of(WHOLE)], abs=0.005
    )


@settings(max_examples=12, deadline=None)
@given(st.floats(1e-6, 1e6).filter(lambda scale: not 0.4 < scale < 6))
def test_every_size_that_is_no_figures_gives_the_same_figure(scale: float) -> None:
    sculpt = _load(_moved(PARTS, scale * np.eye(3), np.zeros(3)))
    assert sculpt.placement.height_mm == pytest.approx(32)
    factor = (32 / WHOLE.placement.height_mm) ** 2
    assert np.bincount(sculpt.area, sculpt.mm2) == pytest.approx(
        factor * np.bincount(WHOLE.area, WHOLE.mm2), rel=1e-4
    )


@settings(max_examples=12, deadline=None)
@given(st.integers(0, 10**6))
def test_the_order_of_faces_and_parts_does_not_matter(seed: int) -> None:
    sculpt = _load(PARTS, np.random.default_rng(seed))
    assert sculpt.area_names == WHOLE.area_names
    assert areas_of(sculpt) == areas_of(WHOLE)


@settings(max_examples=12, deadline=None)
@given(st.integers(0, 10**6))
def test_the_corner_at_which_a_face_begins_does_not_matter(seed: int) -> None:
    chance = np.random.default_rng(seed)
    rolled = {
        name: (v, np.stack([np.roll(face, chance.integers(3)) for face in f]))
        for name, (v, f) in PARTS.items()
    }
    assert areas_of(_load(rolled)) == areas_of(WHOLE)


def test_loading_twice_gives_the_same_bytes(tmp_path: Path) -> None:
    path = write_stl(tmp_path / "f.stl", joined(*PARTS.values()))
    one, other = load_sculpt(path), load_sculpt(path)
    for name in ("vertices", "faces", "area", "source_face", "exposed"):
        assert getattr(one, name).tobytes() == getattr(other, name).tobytes()
    assert (one.area_names, one.repairs) == (other.area_names, other.repairs)


def test_file_numbers_and_welding_keep_every_corner(tmp_path: Path) -> None:
    vertices, faces = joined(*PARTS.values())
    sculpt = load_sculpt(write_stl(tmp_path / "f.stl", (vertices, faces)))
    low, high = vertices.min(axis=0), vertices.max(axis=0)
    placed = vertices - np.array([*(low[:2] + high[:2]) / 2, low[2]])
    assert np.abs(placed[faces][sculpt.source_face] - sculpt.corners).max() < 1e-5
