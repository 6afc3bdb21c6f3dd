"""Rays against bodies whose hits are known by geometry."""

from __future__ import annotations

import ctypes
import importlib
import sys
from typing import Any

import numpy as np
import pytest

from preview.shape.rays import RayScene

SQUARE = np.array([[0, 0, 1], [4, 0, 1], [4, 4, 1], [0, 4, 1]], np.float32)
SQUARE_FACES = np.array([[0, 1, 2], [0, 2, 3]], np.int32)


def rays_down(xy: np.ndarray, z: float = 5.0) -> np.ndarray:
    return np.column_stack([xy, np.full(len(xy), z)]).astype(np.float32)


DOWN = np.array([[0, 0, -1]], np.float32)


def test_hit_place_distance_and_weights_are_those_of_the_plane() -> None:
    xy = np.random.default_rng(7).uniform(-1, 5, (5000, 2))
    face, distance, bary = RayScene(SQUARE, SQUARE_FACES).first_hit(rays_down(xy), DOWN)
    inside = ((xy > 0) & (xy < 4)).all(axis=1)
    assert ((face >= 0) == inside).all()
    assert (face[inside] == (xy[inside, 1] > xy[inside, 0])).all()
    np.testing.assert_allclose(distance[inside], 4.0, atol=1e-5)
    assert np.isinf(distance[~inside]).all()
    corners = SQUARE[SQUARE_FACES[face[inside]]].astype(float)
    weights = np.column_stack([1 - bary[inside].sum(axis=1), bary[inside]])
    np.testing.assert_allclose(
        np.einsum("nc,ncx->nx", weights, corners)[:, :2], xy[inside], atol=1e-5
    )


def test_no_ray_slips_through_a_shared_edge() -> None:
    along = np.linspace(0.01, 3.99, 20001)
    face, _, _ = RayScene(SQUARE, SQUARE_FACES).first_hit(
        rays_down(np.column_stack([along, along])), DOWN
    )
    assert (face >= 0).all()


def test_turned_faces_give_the_weights_of_their_corners_in_the_new_order() -> None:
    scene = RayScene(SQUARE, SQUARE_FACES).turned(np.array([False, True]))
    assert scene.faces.tolist() == [[0, 1, 2], [3, 2, 0]]
    xy = np.random.default_rng(7).uniform(0.1, 3.9, (500, 2))
    # Turned twice, a face is as it was; the other is turned now.
    for one in (scene, scene.turned(np.array([True, True]))):
        face, _, bary = one.first_hit(rays_down(xy), DOWN)
        assert set(face.tolist()) == {0, 1}
        weights = np.column_stack([1 - bary.sum(axis=1), bary])
        places = np.einsum("nc,ncx->nx", weights, SQUARE[one.faces[face]].astype(float))
        np.testing.assert_allclose(places[:, :2], xy, atol=1e-5)


def test_blocked_agrees_with_first_hit_and_heeds_its_reach() -> None:
    scene = RayScene(SQUARE, SQUARE_FACES)
    origins = rays_down(np.random.default_rng(8).uniform(-1, 5, (3000, 2)))
    face, _, _ = scene.first_hit(origins, DOWN)
    assert (scene.blocked(origins, DOWN) == (face >= 0)).all()
    assert not scene.blocked(origins, DOWN, reach=3.9).any()
    assert scene.blocked(origins, DOWN, reach=4.1).sum() == (face >= 0).sum()


def test_many_chunks_give_what_one_ray_at_a_time_gives() -> None:
    rng = np.random.default_rng(9)
    vertices = rng.normal(size=(300, 3)).astype(np.float32)
    faces = rng.integers(0, 300, (400, 3)).astype(np.int32)
    scene = RayScene(vertices, faces)
    origins = rng.normal(scale=3, size=(200_000, 3)).astype(np.float32)
    directions = rng.normal(size=(200_000, 3)).astype(np.float32)
    face, distance, bary = scene.first_hit(origins, directions)
    again = scene.first_hit(origins, directions)
    assert all((a == b).all() for a, b in zip((face, distance, bary), again, strict=True))
    for k in range(0, 200_000, 9973):
        one = scene.first_hit(origins[k : k + 1], directions[k : k + 1])
        assert one[0][0] == face[k]
        assert one[1][0] == distance[k]


@pytest.mark.parametrize("count", [1, 15, 16, 70_003])
def test_rays_cast_sixteen_at_a_time_meet_what_each_meets_by_itself(count: int) -> None:
    embree = pytest.importorskip("preview.shape.embree", exc_type=(OSError, AttributeError))
    if not embree._has_packets:
        pytest.skip("this Embree casts no sixteen rays at once here")
    rng = np.random.default_rng(12)
    vertices = rng.normal(size=(300, 3)).astype(np.float32)
    prepared = embree.Embree(vertices, rng.integers(0, 300, (100, 3)).astype(np.int32))
    origins = rng.normal(scale=2, size=(count, 3)).astype(np.float32)
    direction = np.array([[0.4, -0.2, 0.9]], np.float32)
    for reach in (np.float32(0.7), np.float32(1e30)):
        together, one_by_one = np.zeros((2, count), np.bool_)
        embree._blocked_together(prepared._scene, origins, direction, reach, together)
        embree._blocked(prepared._scene, origins, direction, reach, one_by_one)
        assert (together == one_by_one).all()
        assert count < 100 or 0.1 < together.mean() < 0.9


def test_counts_that_do_not_fit_are_refused() -> None:
    scene = RayScene(SQUARE, SQUARE_FACES)
    with pytest.raises(ValueError, match="3 origins"):
        scene.first_hit(np.zeros((3, 3), np.float32), np.ones((2, 3), np.float32))


def test_where_the_library_is_out_of_reach_its_wrapper_gives_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    rng = np.random.default_rng(10)
    vertices = rng.normal(size=(60, 3)).astype(np.float32)
    faces = rng.integers(0, 60, (90, 3)).astype(np.int32)
    origins = rng.normal(scale=3, size=(20_000, 3)).astype(np.float32)
    directions = rng.normal(size=(20_000, 3)).astype(np.float32)
    near = RayScene(vertices, faces)
    met = near.first_hit(origins, directions)
    blocked = near.blocked(origins, directions, 2.0)
    one_way = near.blocked(origins, DOWN, 2.0)
    assert blocked.any()
    assert one_way.any()

    def nowhere(name: str) -> None:
        raise OSError(f"{name}: cannot open shared object file")

    monkeypatch.setattr(ctypes, "CDLL", nowhere)
    monkeypatch.delitem(sys.modules, "preview.shape.embree")
    wrapped = RayScene(vertices, faces)
    assert type(wrapped._embree).__name__ == "WrappedEmbree"
    for a, b in zip(met, wrapped.first_hit(origins, directions), strict=True):
        assert (a == b).all()
    assert (blocked == wrapped.blocked(origins, directions, 2.0)).all()
    assert (one_way == wrapped.blocked(origins, DOWN, 2.0)).all()


def test_an_embree_of_another_version_is_left_to_its_wrapper(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    pytest.importorskip("preview.shape.embree", exc_type=(OSError, AttributeError))
    load = ctypes.CDLL

    class Older:
        """The library, but for the version that it tells."""

        def __init__(self, name: str) -> None:
            self._library = load(name)
            self.rtcGetDeviceProperty = ctypes.CFUNCTYPE(
                ctypes.c_ssize_t, ctypes.c_void_p, ctypes.c_int
            )(lambda device, number: 3)

        def __getattr__(self, name: str) -> Any:
            return getattr(self._library, name)

    monkeypatch.setattr(ctypes, "CDLL", Older)
    monkeypatch.delitem(sys.modules, "preview.shape.embree")
    with pytest.raises(OSError, match="Embree 4 is needed"):
        importlib.import_module("preview.shape.embree")
    assert type(RayScene(SQUARE, SQUARE_FACES)._embree).__name__ == "WrappedEmbree"


def test_what_embree_refuses_is_left_to_its_wrapper(monkeypatch: pytest.MonkeyPatch) -> None:
    embree = pytest.importorskip("preview.shape.embree", exc_type=(OSError, AttributeError))
    monkeypatch.setattr(embree, "_device", embree._new_device(b"tri_accel=of.no.kind"))
    with pytest.raises(OSError, match="cannot prepare the mesh"):
        embree.Embree(SQUARE, SQUARE_FACES)
    scene = RayScene(SQUARE, SQUARE_FACES)
    assert type(scene._embree).__name__ == "WrappedEmbree"
