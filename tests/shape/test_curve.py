"""Faces along a curve: the same faces, neighbours close to each other."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from preview.shape.curve import along_curve, renumbered


@pytest.fixture(scope="module")
def shuffled() -> tuple[np.ndarray, np.ndarray]:
    body = trimesh.creation.icosphere(subdivisions=5, radius=10.0)
    faces = np.random.default_rng(3).permutation(body.faces).astype(np.int32)
    return body.vertices.astype(np.float32), faces


def test_the_order_names_each_face_once(shuffled) -> None:
    vertices, faces = shuffled
    assert np.array_equal(np.sort(along_curve(vertices, faces)), np.arange(len(faces)))


def test_faces_that_follow_each_other_lie_close(shuffled) -> None:
    vertices, faces = shuffled
    middle = vertices[faces].mean(axis=1)

    def step(order: np.ndarray) -> float:
        return float(np.linalg.norm(np.diff(middle[order], axis=0), axis=1).mean())

    edge = np.sqrt(4 * np.pi * 100 / len(faces))
    assert step(np.arange(len(faces))) > 20 * edge
    assert step(along_curve(vertices, faces)) < 4 * edge


def test_eight_corners_come_in_the_order_of_their_bits() -> None:
    # x is the lowest bit, then y, then z.
    corners = np.array([(x, y, z) for z in (0, 1) for y in (0, 1) for x in (0, 1)], np.float32)
    spot = np.array([[0, 0, 0], [0.01, 0, 0], [0, 0.01, 0]], np.float32)
    vertices = (corners[:, None] + spot).reshape(-1, 3)
    faces = np.arange(24, dtype=np.int32).reshape(8, 3)
    mixed = np.array([5, 2, 7, 0, 3, 6, 1, 4])
    assert mixed[along_curve(vertices, faces[mixed])].tolist() == list(range(8))


def test_renumbering_keeps_every_corner_and_drops_what_no_face_names(shuffled) -> None:
    vertices, faces = shuffled
    some = faces[:100]
    named, again = renumbered(vertices, some)
    np.testing.assert_array_equal(named[again], vertices[some])
    assert len(named) == len(np.unique(some))
    first = np.unique(again.ravel(), return_index=True)[1]
    assert (np.diff(first) > 0).all(), "vertices stand in the order of their first mention"


def test_a_mesh_without_extent_has_an_order() -> None:
    assert along_curve(np.zeros((3, 3), np.float32), np.array([[0, 1, 2]], np.int32)).tolist() == [
        0
    ]
