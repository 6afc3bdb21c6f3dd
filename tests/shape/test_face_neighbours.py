"""Pairs of faces, open edges and shells of bodies that can be counted by hand."""

from __future__ import annotations

import numpy as np

from preview.shape.neighbours import joined, neighbours_of, shells_of

TETRAHEDRON = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [2, 0, 3]])


def test_a_tetrahedron_has_six_edges_and_all_faces_meet() -> None:
    pairs = neighbours_of(TETRAHEDRON)
    met = set(zip(pairs.left.tolist(), pairs.right.tolist(), strict=True))
    assert met == {(0, 1), (0, 2), (0, 3), (1, 2), (1, 3), (2, 3)}
    assert len(pairs.open_face) == 0
    assert not pairs.same_way.any()
    assert not pairs.crowded.any()
    for left, right, (a, b) in zip(pairs.left, pairs.right, pairs.ends, strict=True):
        assert {int(a), int(b)} == set(TETRAHEDRON[left]) & set(TETRAHEDRON[right])
        at = TETRAHEDRON[left].tolist().index(a)
        assert TETRAHEDRON[left][(at + 1) % 3] == b


def test_a_turned_face_runs_its_three_edges_the_same_way() -> None:
    faces = TETRAHEDRON.copy()
    faces[2] = faces[2][::-1]
    pairs = neighbours_of(faces)
    touching = (pairs.left == 2) | (pairs.right == 2)
    assert np.array_equal(pairs.same_way, touching)


def test_without_a_face_three_edges_are_open() -> None:
    pairs = neighbours_of(TETRAHEDRON[:3])
    assert sorted(pairs.open_face.tolist()) == [0, 1, 2]
    ends = {tuple(sorted(end)) for end in pairs.open_ends.tolist()}
    assert ends == {(0, 2), (0, 3), (2, 3)}


def test_a_crowded_edge_gives_a_chain() -> None:
    book = np.array([[0, 1, k] for k in (2, 3, 4, 5)])
    pairs = neighbours_of(book)
    assert list(zip(pairs.left, pairs.right, strict=True)) == [(0, 1), (1, 2), (2, 3)]
    assert pairs.crowded.all()
    assert len(pairs.open_face) == 8


def test_shells_are_numbered_by_their_lowest_face() -> None:
    faces = np.concatenate((TETRAHEDRON + 4, TETRAHEDRON))[[0, 4, 1, 5, 2, 6, 3, 7]]
    count, shell = shells_of(len(faces), neighbours_of(faces))
    assert count == 2
    assert shell.tolist() == [0, 1] * 4


def test_a_common_corner_joins_no_shells() -> None:
    faces = np.concatenate((TETRAHEDRON, np.where(TETRAHEDRON == 0, 0, TETRAHEDRON + 3)))
    assert shells_of(len(faces), neighbours_of(faces))[0] == 2


def test_no_faces_have_no_neighbours() -> None:
    pairs = neighbours_of(np.zeros((0, 3), np.int32))
    assert len(pairs.left) == len(pairs.open_face) == 0


def test_links_join_things_into_groups() -> None:
    count, group = joined(6, np.array([4, 1]), np.array([0, 5]))
    assert (count, group.tolist()) == (4, [0, 1, 2, 3, 0, 1])
