"""Outlines: patches within straight lines from corner to corner."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import trimesh
from numpy.typing import NDArray
from skimage.measure import points_in_poly

from preview.areas.marks.apply import MarkedFigure
from preview.areas.marks.model import BELT, OUTLINE, Mark, Spot
from preview.areas.marks.outline import Stencil
from preview.areas.marks.read import load_marks
from preview.areas.marks.spots import Placed
from preview.errors import MarksFault
from tests.areas.marked_bodies import SNOWMAN, marks_of, names_of, point_mark, snowman
from tests.sculpts import sculpt_of

# An L on the front of the wall, 24 mm².
ELL = ((-4.0, 4.0), (2.0, 4.0), (2.0, 6.0), (-1.0, 6.0), (-1.0, 10.0), (-4.0, 10.0))
WALL = point_mark("wall", (8.0, -0.5, 18.0))


def outline(area: str, corners: list[tuple[float, float, float]]) -> Mark:
    """An outline, its places on whatever side is nearest."""
    return Mark(area, OUTLINE, f'test, mark "{area}"', tuple(Spot(at) for at in corners))


@pytest.fixture(scope="module")
def wall() -> MarkedFigure:
    """A wall of 20 by 1 by 20 mm, and a small block that stands before it, 1.5 mm off."""
    thick = trimesh.creation.box((20.0, 1.0, 20.0)).subdivide_to_size(0.3)
    block = trimesh.creation.box((1.0, 1.0, 1.0)).subdivide_to_size(0.3)
    thick.apply_translation((0.0, 0.0, 10.0))
    block.apply_translation((-2.5, -2.5, 7.0))
    both = trimesh.util.concatenate([thick, block])
    sculpt = sculpt_of(np.asarray(both.vertices), np.asarray(both.faces))
    return MarkedFigure(sculpt, marks_of())


def test_an_outline_covers_what_lies_within_it_on_its_side_and_shell(wall: MarkedFigure) -> None:
    patch = outline("patch", [(x, -0.5, z) for x, z in ELL])
    sculpt = wall.apply(marks_of(WALL, patch)).sculpt
    names, middle = names_of(sculpt), sculpt.corners.mean(axis=1)
    covered = names == "patch"
    assert sculpt.mm2[covered].sum() == pytest.approx(24.0, rel=0.03)
    np.testing.assert_allclose(middle[covered, 1], -0.5, atol=1e-6)
    # The same corners the other way around, and on the back.
    turned = replace(patch, spots=patch.spots[::-1])
    np.testing.assert_array_equal(
        names_of(wall.apply(marks_of(WALL, turned)).sculpt) == "patch", covered
    )
    back = outline("patch", [(x, 0.5, z) for x, z in ELL])
    behind = names_of(wall.apply(marks_of(WALL, back)).sculpt) == "patch"
    np.testing.assert_allclose(middle[behind, 1], 0.5, atol=1e-6)


def test_of_two_outlines_the_smaller_lies_on_top_in_any_order(wall: MarkedFigure) -> None:
    large = outline("large", [(x, -0.5, z) for x, z in ((0, 2), (8, 2), (8, 12), (0, 12))])
    small = outline("small", [(x, -0.5, z) for x, z in ((2, 4), (10, 4), (10, 8), (2, 8))])
    one, other = (names_of(wall.apply(marks_of(WALL, *both)).sculpt) for both in
                  ((large, small), (small, large)))  # fmt: skip
    np.testing.assert_array_equal(one, other)
    assert wall.sculpt.mm2[one == "small"].sum() == pytest.approx(32.0, rel=0.05)
    assert wall.sculpt.mm2[one == "large"].sum() == pytest.approx(80.0 - 24.0, rel=0.05)


def test_what_has_no_middle_within_leaves_the_part_behind_alone() -> None:
    """A plate of two triangles a side, and a fine one 1.6 mm behind it that faces alike."""
    plate = trimesh.creation.box((20.0, 0.2, 20.0))
    behind = trimesh.creation.box((20.0, 0.2, 20.0)).subdivide_to_size(0.5)
    behind.apply_translation((0.0, 1.8, 0.0))
    both = trimesh.util.concatenate([plate, behind])
    figure = MarkedFigure(sculpt_of(np.asarray(both.vertices), np.asarray(both.faces)), marks_of())
    ends = [point_mark("plate", (0.0, -0.1, 0.0)), point_mark("behind", (0.0, 1.9, 5.0))]
    patch = outline("patch", [(x, -0.1, z) for x, z in ((1, 1), (3, 1), (3, 3), (1, 3))])
    marked = figure.apply(replace(marks_of(*ends, patch), mirror=True))
    assert not (names_of(marked.sculpt) == "patch").any()
    # Of its image, which nobody asked for, nothing is said.
    assert sum('"patch" covers no face' in note for note in marked.notes) == 1


def test_a_narrow_stripe_is_no_line_and_a_belt_lies_on_top(wall: MarkedFigure) -> None:
    stripe = outline("stripe", [(x, -0.5, z) for x, z in ((-9, 9), (9, 9), (9, 9.9), (-9, 9.9))])
    around = ((-5.0, -0.5, 5.0), (5.0, -0.5, 5.0), (0.0, -0.5, 12.0))
    belt = Mark("belt", BELT, "b", tuple(Spot(at) for at in around), size=4.0)
    names = names_of(wall.apply(marks_of(WALL, stripe)).sculpt)
    assert wall.sculpt.mm2[names == "stripe"].sum() == pytest.approx(18 * 0.9, rel=0.2)
    names = names_of(wall.apply(marks_of(WALL, stripe, belt)).sculpt)
    assert "belt" in names
    assert "stripe" not in names


def test_an_image_that_nobody_asked_for_gives_way(wall: MarkedFigure) -> None:
    """Two quarters of a shield, each an outline, where marks count on both sides."""
    right = outline("right", [(x, -0.5, z) for x, z in ((0, 4), (6, 4), (6, 8), (0, 8))])
    left = outline("left", [(-x, -0.5, z) for x, z in ((0, 4), (6, 4), (6, 8), (0, 8))])
    names = names_of(wall.apply(replace(marks_of(WALL, right, left), mirror=True)).sculpt)
    middle = wall.sculpt.corners.mean(axis=1)
    assert (middle[names == "left", 0] < 0).all()
    size = [float(wall.sculpt.mm2[names == name].sum()) for name in ("left", "right")]
    assert size == pytest.approx([24.0, 24.0], rel=0.1)


def test_the_other_side_has_it_too_where_that_is_asked() -> None:
    sculpt, _ = snowman(0.8)
    figure = MarkedFigure(sculpt, marks_of())
    corners = [(1.5, -4.6, 17.0), (4.0, -3.2, 17.0), (4.0, -3.2, 20.5), (1.5, -5.1, 20.5)]
    badge = outline("badge", [_onto_ball(at) for at in corners])
    alone = figure.apply(marks_of(*SNOWMAN, badge)).sculpt
    both = figure.apply(marks_of(*SNOWMAN, replace(badge, mirror=True))).sculpt
    size = [one.mm2[names_of(one) == "badge"].sum() for one in (alone, both)]
    assert size[1] == pytest.approx(2 * size[0], rel=0.1)


def _onto_ball(at: tuple[float, float, float]) -> tuple[float, float, float]:
    """The place on the snowman's chest in a direction."""
    away = np.array(at) - (0.0, 0.0, 19.0)
    x, y, z = 5.6 * away / np.linalg.norm(away) + (0.0, 0.0, 19.0)
    return float(x), float(y), float(z)


@pytest.mark.parametrize(
    ("corners", "said"),
    [
        ([(0.0, -0.5, 4.0), (4.0, -0.5, 8.0), (8.0, -0.5, 12.01)], "almost in one line"),
        (
            [(0.0, -0.5, 4.0), (4.0, -0.5, 8.0), (4.0, -0.5, 4.0), (0.0, -0.5, 8.0)],
            "crosses itself",
        ),
        ([(0.0, -0.5, 4.0), (6.0, -0.5, 10.0), (6.0, -0.5, 2.0), (0.0, -0.5, 10.0)], "3 to 4$"),
        ([(-9.0, -0.5, 5.0), (9.0, -0.5, 5.0), (9.0, 0.5, 5.0), (-9.0, 0.5, 5.0)], "too many ways"),
    ],
)
def test_corners_that_no_stencil_fits_are_refused(
    wall: MarkedFigure, corners: list[tuple[float, float, float]], said: str
) -> None:
    with pytest.raises(MarksFault) as caught:
        wall.apply(marks_of(WALL, outline("patch", corners)))
    assert re.search(said, caught.value.faults[0].what)


def test_points_within_corners_against_scikit_image() -> None:
    """skimage.measure.points_in_poly on stars of many corners, in planes that lean."""
    random = np.random.default_rng(5)
    for _ in range(20):
        turn = np.linalg.qr(random.normal(size=(3, 3)))[0]
        angle = np.sort(random.uniform(0.0, 2 * np.pi, 9))
        star = (random.uniform(0.5, 3.0, 9) * np.stack((np.cos(angle), np.sin(angle)))).T
        points = random.uniform(-3.0, 3.0, (500, 3))
        normal = turn[2]
        corners = [Placed(0, at, normal) for at in _laid(star, turn)]
        free = Stencil(corners).leaves_free(points @ turn, np.tile(normal, (500, 1)))
        np.testing.assert_array_equal(free, points_in_poly(points[:, :2], star))
        assert not Stencil(corners).leaves_free(points @ turn, np.tile(-normal, (500, 1))).any()


def _laid(flat: NDArray[np.float64], turn: NDArray[np.float64]) -> NDArray[np.float64]:
    """Points of a plane in space."""
    return np.column_stack((flat, np.zeros(len(flat)))) @ turn


def test_an_outline_is_as_large_as_its_corners_say() -> None:
    corners = [Placed(0, np.array((x, -0.5, z)), np.array((0.0, -1.0, 0.0))) for x, z in ELL]
    assert Stencil(corners).mm2 == pytest.approx(24.0)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("outline = 2\nat = [[0, 0, 0], [1, 0, 0], [1, 0, 1]]", "outline must be true"),
        ("outline = true\nat = [[0, 0, 0], [1, 0, 0]]", "at least three corners"),
        ("outline = true\nbelt = 1\nat = [[0, 0, 0], [1, 0, 0], [1, 0, 1]]", "one shape"),
    ],
)
def test_slips_in_the_file_are_told(text: str, said: str, tmp_path: Path) -> None:
    path = tmp_path / "marks.toml"
    path.write_text(f'[[mark]]\narea = "a"\n{text}\n', encoding="utf-8")
    with pytest.raises(MarksFault, match=said):
        load_marks(path)
