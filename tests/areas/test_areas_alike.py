"""Shells of one shape: what is marked on one, the others take, however they lie."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from preview.areas.analysis.analysis import Analysis
from preview.areas.analysis.regions import proposed
from preview.areas.marks.apply import MarkedFigure
from preview.areas.sculpt import Sculpt
from tests.areas.copies import turn
from tests.areas.marked_bodies import Point, marks_of, names_of, point_mark, snowman
from tests.areas.small_meshes import Mesh, ball, joined
from tests.sculpts import sculpt_of

TORSO, GLOVE, MIRRORED, TURNED, SMALL, OTHER = range(6)


def _glove(rows: int = 16) -> Mesh:
    """A bent body that no turn lays on its mirror image."""
    places, faces = ball((0, 0, 0), 1.0, rows)
    x, y, z = places.T
    return np.stack((3 * x + 0.8 * y**2, 1.5 * y + 0.9 * z * x, z + 0.5 * x**2), axis=1), faces


def _at(mesh: Mesh, *shift: float) -> Mesh:
    return mesh[0] + np.array(shift), mesh[1]


@pytest.fixture(scope="module")
def body() -> tuple[Sculpt, NDArray[np.int32]]:
    """A ball, a glove that touches it, and elsewhere its copies; which one each face is on."""
    glove, faces = _glove()
    flipped = glove * (-1, 1, 1), faces[:, ::-1]
    turned = glove @ turn((1, 2, 3), 130).T, faces
    parts = [
        ball((0, 0, 10), 8.0, 24),
        _at((glove, faces), 10.5, 0, 10),
        _at(flipped, -10.5, 0, 10),
        _at(turned, 0, 20, 6),
        _at((0.85 * glove, faces), 0, -20, 6),
        _at((glove * (1.0, 1.6, 1.0), faces), 20, 20, 6),
    ]
    shell = np.repeat(np.arange(len(parts), dtype=np.int32), [len(f) for _, f in parts])
    return sculpt_of(*joined(*parts)), shell


def _tip(sculpt: Sculpt, shell: NDArray[np.int32], which: int, sign: float) -> Point:
    """The middle of the face of a shell that reaches farthest along x."""
    middle = sculpt.corners.mean(axis=1)
    faces = np.flatnonzero(shell == which)
    x, y, z = (float(place) for place in middle[faces[np.argmax(sign * middle[faces, 0])]])
    return x, y, z


def test_copies_are_found_however_they_lie_and_other_shapes_are_not(
    body: tuple[Sculpt, NDArray[np.int32]],
) -> None:
    analysis = Analysis(body[0].vertices, body[0].faces)
    leader = analysis.alike.leader
    assert leader.tolist() == [TORSO, GLOVE, GLOVE, GLOVE, GLOVE, OTHER]


def test_a_copy_takes_every_area_of_the_marked_one_at_the_same_place(
    body: tuple[Sculpt, NDArray[np.int32]],
) -> None:
    sculpt, shell = body
    cuff, fingers = (_tip(sculpt, shell, GLOVE, sign) for sign in (-1.0, 1.0))
    marks = marks_of(
        point_mark("torso", (0.0, -8.0, 10.0)),
        point_mark("cuff", cuff),
        point_mark("fingers", fingers),
    )
    names = names_of(MarkedFigure(sculpt, marks).apply(marks).sculpt)
    first = names[shell == GLOVE]
    assert set(first) == {"cuff", "fingers"}
    for copy in (MIRRORED, TURNED, SMALL):
        assert (names[shell == copy] == first).mean() > 0.98


def test_a_mark_of_its_own_comes_before_that_of_a_copy(
    body: tuple[Sculpt, NDArray[np.int32]],
) -> None:
    sculpt, shell = body
    marks = marks_of(
        point_mark("torso", (0.0, -8.0, 10.0)),
        point_mark("left", _tip(sculpt, shell, GLOVE, 1.0)),
        point_mark("right", _tip(sculpt, shell, MIRRORED, -1.0)),
    )
    names = names_of(MarkedFigure(sculpt, marks).apply(marks).sculpt)
    assert set(names[shell == GLOVE]) == {"left"}
    assert set(names[shell == MIRRORED]) == {"right"}


def test_marks_at_other_ends_of_copies_leave_each_its_own() -> None:
    # No crease parts the ends of a ball, so neither takes what is marked on the other one.
    one, other = ball((0, 0, 8), 8.0, 24), ball((30, 0, 8), 8.0, 24)
    vertices, faces = joined(one, other)
    sculpt = sculpt_of(vertices, faces)
    marks = marks_of(point_mark("left", (0.0, 0.0, 16.0)), point_mark("right", (30.0, 0.0, 0.0)))
    names = names_of(MarkedFigure(sculpt, marks).apply(marks).sculpt)
    assert set(names[: len(one[1])]) == {"left"}
    assert set(names[len(one[1]) :]) == {"right"}


def test_copies_tell_each_other_what_a_crease_parts_from_their_own_marks() -> None:
    man, ball_of = snowman()
    shifts = ((0.0, 0.0, 0.0), (30.0, 0.0, 0.0))
    parts = [_at((man.vertices, man.faces), *shift) for shift in shifts]
    sculpt = sculpt_of(*joined(*parts))
    belly, chest, head = ((0.0, -8.0, 8.0), (30.0, -5.6, 19.0), (30.0, -3.6, 26.5))
    marks = marks_of(
        point_mark("belly", belly), point_mark("chest", chest), point_mark("head", head)
    )
    figure = MarkedFigure(sculpt, marks)
    names = names_of(figure.apply(marks).sculpt)
    right = names == np.tile(np.array(["belly", "chest", "head"])[ball_of], 2)
    assert float(sculpt.mm2[right].sum() / sculpt.mm2.sum()) > 0.98
    again = names_of(figure.apply(replace(marks, marks=marks.marks[::-1])).sculpt)
    np.testing.assert_array_equal(names, again)


def test_copies_go_by_one_number(body: tuple[Sculpt, NDArray[np.int32]]) -> None:
    sculpt, shell = body
    analysis = Analysis(sculpt.vertices, sculpt.faces)
    of_face = proposed(analysis, 3).of_face[analysis.standing_in]
    held = [set(of_face[shell == k].tolist()) for k in (GLOVE, MIRRORED, TURNED, SMALL)]
    assert all(numbers == held[0] for numbers in held)
    assert held[0].isdisjoint(of_face[shell == TORSO].tolist())
