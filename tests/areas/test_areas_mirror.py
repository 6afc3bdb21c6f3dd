"""Both sides of a symmetric figure by one number and one mark."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from preview.areas.analysis.analysis import Analysis
from preview.areas.analysis.regions import proposed
from preview.areas.marks.apply import MarkedFigure
from preview.areas.marks.model import DISC, Mark, Marks, Spot
from preview.areas.marks.read import load_marks
from preview.areas.marks.seeds import Seed, undisputed
from preview.areas.marks.write import fingerprint_of, new_marks_text
from preview.areas.sculpt import Sculpt
from preview.errors import MarksFault
from tests.areas.marked_bodies import names_of, point_mark
from tests.areas.small_meshes import Mesh, ball, joined
from tests.sculpts import sculpt_of, sphere_mesh

# Middle and radius: a body, a ball on either side, and one on the right side alone.
BALLS = (
    ((0.0, 0.0, 8.0), 8.0),
    ((-10.5, 0.0, 8.0), 4.5),
    ((10.5, 0.0, 8.0), 4.5),
    ((5.5, 0.0, 16.5), 3.0),
)
BODY, LEFT, RIGHT, LONE = range(4)


@pytest.fixture(scope="module")
def armed() -> tuple[Sculpt, np.ndarray]:
    """One solid, and which ball each face is on."""
    from skimage.measure import marching_cubes

    axes = [np.arange(lo, hi, 0.5) for lo, hi in ((-16.1, 16.6), (-9.1, 9.6), (-1.1, 21.1))]
    x, y, z = np.meshgrid(*axes, indexing="ij")
    fields = np.stack(
        [np.sqrt((x - a) ** 2 + (y - b) ** 2 + (z - c) ** 2) - r for (a, b, c), r in BALLS]
    )
    vertices, faces, _, _ = marching_cubes(
        fields.min(axis=0), 0.0, spacing=(0.5,) * 3, gradient_direction="descent"
    )
    places = (vertices + np.array([-16.1, -9.1, -1.1])).astype(np.float32)
    middle = places[faces].mean(axis=1)
    away = [np.abs(np.linalg.norm(middle - np.array(at), axis=1) - r) for at, r in BALLS]
    return sculpt_of(places, faces), np.argmin(away, axis=0)


def _marks(*marks: Mark, **more: object) -> Marks:
    return replace(Marks(Path("marks.toml"), marks=marks, mirror=True), **more)


def _named(names: np.ndarray, ball: np.ndarray, which: int) -> dict[str, float]:
    """The share of a ball that each name has."""
    found, count = np.unique(names[ball == which], return_counts=True)
    return dict(zip(found.tolist(), (count / count.sum()).tolist(), strict=True))


def test_a_number_stands_for_both_sides(armed: tuple[Sculpt, np.ndarray]) -> None:
    sculpt, ball = armed
    analysis = Analysis(sculpt.vertices, sculpt.faces, mirror_x=0.0)
    proposal = proposed(analysis, 3)
    number = proposal.of_face[analysis.standing_in]
    most = [int(np.argmax(np.bincount(number[ball == k]))) for k in range(4)]
    assert most[LEFT] == most[RIGHT]
    assert len(set(most)) == 3
    areas = {f"area {k}": (str(k + 1),) for k in range(3)}
    names = names_of(MarkedFigure(sculpt, _marks()).apply(_marks(areas=areas, count=3)).sculpt)
    for which in range(4):
        assert _named(names, ball, which)[f"area {most[which]}"] > 0.97


def test_a_mark_counts_on_both_sides_unless_it_says_no(
    armed: tuple[Sculpt, np.ndarray],
) -> None:
    sculpt, ball = armed
    figure = MarkedFigure(sculpt, _marks())
    body, arm = point_mark("body", (0.0, -8.0, 8.0)), point_mark("arm", (-10.5, -4.5, 8.0))
    both = names_of(figure.apply(_marks(body, arm)).sculpt)
    assert _named(both, ball, RIGHT)["arm"] > 0.97
    one = names_of(figure.apply(_marks(body, replace(arm, mirror=False))).sculpt)
    assert _named(one, ball, LEFT)["arm"] > 0.97
    assert _named(one, ball, RIGHT)["body"] > 0.97
    plain = names_of(figure.apply(_marks(body, arm, mirror=False)).sculpt)
    np.testing.assert_array_equal(plain, one)


def test_an_image_without_surface_is_left_out(armed: tuple[Sculpt, np.ndarray]) -> None:
    sculpt, ball = armed
    figure = MarkedFigure(sculpt, _marks())
    body = point_mark("body", (0.0, -8.0, 8.0))
    lone = point_mark("lone", (5.5, 0.0, 19.5))
    dot = Mark("dot", DISC, "d", (Spot((5.5, -3.0, 16.5)),), size=2.0)
    names = names_of(figure.apply(_marks(body, lone, dot)).sculpt)
    assert _named(names, ball, LONE)["lone"] > 0.8
    assert (sculpt.corners.mean(axis=1)[names == "dot", 0] > 0).all()
    with pytest.raises(MarksFault, match="off the surface"):
        figure.apply(_marks(body, replace(lone, mirror=True)))


@pytest.mark.parametrize(
    "lock",
    [ball((8.0, 0.0, 8.0), 1.0, 8), ball((1.0, 0.0, 8.0), 7.2)],
    ids=["stands out", "lies as the cheek does"],
)
def test_a_part_on_one_side_names_nothing_on_the_other(lock: Mesh) -> None:
    """A lock lies on one cheek of a head: its image would lie on the other cheek."""
    head = ball((0.0, 0.0, 8.0), 8.0)
    most = float(lock[0][:, 0].max())
    skin, hair = point_mark("skin", (0.0, -8.0, 8.0)), point_mark("hair", (most, 0.0, 8.0))
    sculpt = sculpt_of(*joined(head, lock))
    names = names_of(MarkedFigure(sculpt, _marks()).apply(_marks(skin, hair)).sculpt)
    assert set(names[: len(head[1])]) == {"skin"}
    assert set(names[len(head[1]) :]) == {"hair"}


def test_a_hand_behind_a_shield_is_no_pair_of_it() -> None:
    """Each touches the other's image alone, and with little of its surface."""
    body = ball((0.0, 0.0, 5.0), 4.0)
    places, faces = ball((0.0, 0.0, 0.0), 1.0)
    shield = places * (0.6, 3.5, 5.0) + (-12.0, 0.0, 5.0), faces
    sculpt = sculpt_of(*joined(body, shield, ball((12.0, 0.0, 5.0), 1.2, 12)))
    skin, steel = point_mark("skin", (0.0, -4.0, 5.0)), point_mark("steel", (-12.6, 0.0, 5.0))
    marked = MarkedFigure(sculpt, _marks()).apply(_marks(skin, steel))
    assert [seed.at[0] for seed in marked.seeds if seed.area == "steel"] == [-12.6]


def test_a_part_on_either_side_is_named_by_one_mark() -> None:
    head, left = ball((0.0, 0.0, 8.0), 8.0), ball((-8.0, 0.0, 8.0), 1.0, 8)
    sculpt = sculpt_of(*joined(head, left, ball((8.0, 0.0, 8.0), 1.0, 8)))
    skin, hair = point_mark("skin", (0.0, -8.0, 8.0)), point_mark("hair", (9.0, 0.0, 8.0))
    marked = MarkedFigure(sculpt, _marks()).apply(_marks(skin, hair))
    assert {seed.at[0] for seed in marked.seeds if seed.area == "hair"} == {-9.0, 9.0}
    assert set(names_of(marked.sculpt)[len(head[1]) :]) == {"hair"}


def test_a_mark_counts_more_than_the_image_of_another(armed: tuple[Sculpt, np.ndarray]) -> None:
    sculpt, _ = armed
    figure = MarkedFigure(sculpt, _marks())
    body = point_mark("body", (0.0, -8.0, 8.0))
    left, right = point_mark("left", (-15.0, 0.0, 8.0)), point_mark("right", (15.0, 0.0, 8.0))
    marks = (body, left, right)
    names = names_of(figure.apply(_marks(*marks)).sculpt)
    middle = sculpt.corners.mean(axis=1)
    for name, at in (("left", -15.0), ("right", 15.0)):
        face = int(np.argmin(np.linalg.norm(middle - (at, 0.0, 8.0), axis=1)))
        assert names[face] == name
    again = names_of(figure.apply(_marks(*marks[::-1])).sculpt)
    np.testing.assert_array_equal(names, again)


def test_an_image_on_a_face_that_another_claims_is_left_out() -> None:
    def seed(area: str, face: int) -> Seed:
        return Seed(area, face, (0.0, 0.0, 0.0), area)

    images = [seed("one", 7), seed("two", 7), seed("two", 8), seed("two", 8), seed("one", 9)]
    kept = undisputed(images, [seed("three", 9), seed("one", 1)])
    assert [(one.area, one.face) for one in kept] == [("two", 8), ("two", 8)]


def test_both_sides_together_are_as_many_patches_as_a_figure_without_a_plane(
    armed: tuple[Sculpt, np.ndarray],
) -> None:
    sculpt, _ = armed
    plain = Analysis(sculpt.vertices, sculpt.faces).patches[0]
    both = Analysis(sculpt.vertices, sculpt.faces, mirror_x=0.0).patches[0]
    assert both == pytest.approx(plain, rel=0.3)


def test_a_figure_alike_left_and_right_is_told_by_its_surface() -> None:
    plain = Analysis(*_balls(0.0))
    assert plain.share_alike(0.0) == pytest.approx(1.0)
    assert plain.with_both_sides(0.0).both_sides
    assert not plain.with_both_sides(0.0, asked=False).both_sides
    aside = Analysis(*_balls(3.0))
    assert 0.1 < aside.share_alike(0.0) < 0.75
    assert not aside.with_both_sides(0.0).both_sides
    assert aside.with_both_sides(0.0, asked=True).both_sides


def test_both_sides_asked_for_later_are_those_asked_for_at_once(
    armed: tuple[Sculpt, np.ndarray],
) -> None:
    sculpt, _ = armed
    later = Analysis(sculpt.vertices, sculpt.faces)
    assert later.tree.patches
    at_once = Analysis(sculpt.vertices, sculpt.faces, mirror_x=0.0)
    same = proposed(later.with_both_sides(0.0, asked=True), 3).of_face
    assert (same == proposed(at_once, 3).of_face).all()


def _balls(aside: float) -> tuple[np.ndarray, np.ndarray]:
    """A large ball on the plane and two beside it, the right one so far from its place, in mm."""
    vertices, faces = sphere_mesh()
    parts = (
        (0.8, (0.0, 0.0, 0.0)),
        (1.0, (-4.0, 0.0, 0.0)),
        (1.0, (4.0 + aside, aside, aside)),
    )
    points = [vertices * radius + np.array(at, np.float32) for radius, at in parts]
    triples = [faces + k * len(vertices) for k in range(len(parts))]
    return np.concatenate(points).astype(np.float32), np.concatenate(triples).astype(np.int32)


def test_the_file_keeps_it(armed: tuple[Sculpt, np.ndarray], tmp_path: Path) -> None:
    sculpt, _ = armed
    analysis = Analysis(sculpt.vertices, sculpt.faces, mirror_x=0.0)
    regions = proposed(analysis, 3).regions
    own = fingerprint_of("armed", len(sculpt.faces), analysis.surface)
    path = tmp_path / "marks.toml"
    for mirror in (True, False):
        path.write_text(
            new_marks_text("marks.toml", "a.stl", own, analysis.metric, 3, regions, {}, mirror)
        )
        assert load_marks(path).mirror is mirror
    path.write_text("mirror = 'left'\n[areas]\na = [1]\n")
    with pytest.raises(MarksFault, match="mirror must be true or false"):
        load_marks(path)
