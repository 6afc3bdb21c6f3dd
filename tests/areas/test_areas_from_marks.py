"""Marks grow to the creases, whatever their order, and never into another shell."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from preview.areas.marks.apply import UNMARKED, MarkedFigure
from preview.areas.marks.model import BELT, DISC, HEIGHTS, LOOKS_UP, SHELL, STROKE, Mark, Spot
from preview.areas.sculpt import Sculpt
from preview.errors import CannotDo, MarksFault
from preview.shape import threads
from tests.areas.marked_bodies import (
    SNOWMAN,
    marks_of,
    names_of,
    point_mark,
    touching_balls,
)
from tests.areas.small_meshes import ball, box, joined
from tests.sculpts import sculpt_of

TRUE_NAMES = np.array(["belly", "chest", "head"])


def _share(sculpt: Sculpt, right: np.ndarray) -> float:
    return float(sculpt.mm2[right].sum() / sculpt.mm2.sum())


def test_areas_end_at_the_creases(man: tuple[Sculpt, np.ndarray], figure: MarkedFigure) -> None:
    marked = figure.apply(marks_of(*SNOWMAN))
    assert _share(marked.sculpt, names_of(marked.sculpt) == TRUE_NAMES[man[1]]) > 0.99


def test_the_order_of_marks_and_names_does_not_matter(figure: MarkedFigure) -> None:
    disc = Mark("nose", DISC, "disc", (Spot((0.0, -3.6, 26.5)),), size=1.5)
    one = figure.apply(marks_of(*SNOWMAN, disc))
    other = figure.apply(marks_of(disc, *SNOWMAN[::-1]))
    np.testing.assert_array_equal(names_of(one.sculpt), names_of(other.sculpt))


def test_the_number_of_threads_does_not_matter(
    man: tuple[Sculpt, np.ndarray], figure: MarkedFigure, monkeypatch: pytest.MonkeyPatch
) -> None:
    many = figure.apply(marks_of(*SNOWMAN))
    monkeypatch.setattr(threads, "cores", lambda: 1)
    again = MarkedFigure(man[0], marks_of()).apply(marks_of(*SNOWMAN))
    np.testing.assert_array_equal(many.sculpt.area, again.sculpt.area)


def test_a_seeded_area_never_leaks_into_a_touching_shell() -> None:
    sculpt, shell = touching_balls()
    figure = MarkedFigure(sculpt, marks_of())
    marks = marks_of(point_mark("big", (-8.0, 0.0, 8.0)), point_mark("small", (11.9, 0.0, 8.0)))
    names = names_of(figure.apply(marks).sculpt)
    assert set(names[shell == 0]) == {"big"}
    assert set(names[shell == 1]) == {"small"}


def test_a_shell_without_a_mark_takes_what_it_touches_and_else_stays_bare() -> None:
    sculpt, shell = touching_balls()
    figure = MarkedFigure(sculpt, marks_of())
    names = names_of(figure.apply(marks_of(point_mark("big", (-8.0, 0.0, 8.0)))).sculpt)
    assert set(names[shell == 1]) == {"big"}
    assert set(names[shell == 2]) == {UNMARKED}


def test_a_small_marked_shell_names_no_large_one_that_a_large_one_touches() -> None:
    body, hat = ball((0, 0, 8), 8.0, 24), ball((0, 0, 22), 6.1, 24)
    sides = ((8.5, 0, 8), (-8.5, 0, 8), (0, 8.5, 8), (0, -8.5, 8))
    radii = (1.0, 1.3, 1.7, 2.2)
    strands = [ball(at, radius, 12) for at, radius in zip(sides, radii, strict=True)]
    sculpt = sculpt_with_up(*joined(body, hat, *strands))
    figure = MarkedFigure(sculpt, marks_of())
    tips = [
        point_mark("hair", (x, y, z + radius), where=f"mark {x}, {y}")
        for (x, y, z), radius in zip(sides, radii, strict=True)
    ]
    marks = marks_of(point_mark("felt", (0.0, -6.1, 22.0)), *tips)
    names = names_of(figure.apply(marks).sculpt)
    assert set(names[: len(body[1])]) == {"felt"}


def test_a_whole_shell_by_its_number() -> None:
    sculpt, shell = touching_balls()
    figure = MarkedFigure(sculpt, marks_of())
    whole = Mark("bead", SHELL, "shell mark", shells=(3,))
    names = names_of(figure.apply(marks_of(point_mark("big", (-8.0, 0, 8.0)), whole)).sculpt)
    assert set(names[shell == 2]) == {"bead"}
    wrong = [replace(whole, shells=(4,)), point_mark("other", (30.0, 0, 9.5)), whole]
    with pytest.raises(MarksFault) as caught:
        figure.apply(marks_of(*wrong))
    assert "there is no shell 4" in str(caught.value)
    assert "takes whole" in str(caught.value)


def test_the_normal_chooses_the_side_of_a_thin_part() -> None:
    import trimesh

    sheet = trimesh.creation.box((20.0, 0.6, 20.0)).subdivide_to_size(0.9)
    sculpt = sculpt_with_up(sheet.vertices, sheet.faces)
    figure = MarkedFigure(sculpt, marks_of())
    front = point_mark("front", (0.0, -0.1, 10.0), (0.0, -1.0, 0.0))
    back = point_mark("back", (0.0, -0.1, 10.0), (0.0, 1.0, 0.0))
    names = names_of(figure.apply(marks_of(front, back)).sculpt)
    facing = sculpt.normal[:, 1]
    away = sculpt.corners.mean(axis=1) - (0.0, 0.0, 10.0)
    middle = (np.abs(away[:, [0, 2]]) < 5).all(axis=1)
    assert set(names[(facing < -0.9) & middle]) == {"front"}
    assert set(names[(facing > 0.9) & middle]) == {"back"}


def sculpt_with_up(vertices: np.ndarray, faces: np.ndarray) -> Sculpt:
    """A sculpt from trimesh's arrays."""
    from tests.sculpts import sculpt_of

    return sculpt_of(np.asarray(vertices), np.asarray(faces))


def test_shapes_cover_what_they_say(figure: MarkedFigure) -> None:
    disc = Mark("eye", DISC, "d", (Spot((1.5, -3.3, 26.5)),), size=2.0, mirror=True)
    belt = Mark("belt", HEIGHTS, "h", low=17.0, high=20.0)
    strap = Mark("strap", STROKE, "s", (Spot((-5.0, -2.5, 19.0)), Spot((5.0, -2.5, 19.0))), 1.2)
    ground = Mark("ground", LOOKS_UP, "u", degrees=-91.0 + 1.0, below=2.0)
    sculpt = figure.apply(marks_of(*SNOWMAN, disc, belt, strap, ground)).sculpt
    names, middle = names_of(sculpt), sculpt.corners.mean(axis=1)
    # Two discs of 2 mm across, on a ball that bends little under them.
    assert sculpt.mm2[names == "eye"].sum() == pytest.approx(2 * np.pi, rel=0.15)
    assert (middle[names == "eye", 0] > 0).any()
    assert (middle[names == "eye", 0] < 0).any()
    inside = (middle[:, 2] >= 17.0) & (middle[:, 2] <= 20.0)
    assert set(names[inside]) == {"belt", "strap"}
    assert set(names[~inside]).isdisjoint({"belt", "strap"})
    assert (middle[names == "strap", 1] < 0).all()
    assert (middle[names == "ground", 2] <= 2.0).all()


def test_a_belt_runs_all_around_the_part_that_its_places_are_on(figure: MarkedFigure) -> None:
    lean = np.array([0.3, 0.2, 1.0]) / np.linalg.norm((0.3, 0.2, 1.0))
    sculpt, middle = figure.sculpt, figure.sculpt.corners.mean(axis=1)
    off = (middle - (0.0, 0.0, 19.0)) @ lean
    rim = np.flatnonzero(np.abs(off) < 0.1)
    around = np.arctan2(middle[rim, 1], middle[rim, 0])
    # Three places a third of the way around from each other, in a plane that leans.
    faces = [rim[np.argmin(np.abs(around - angle))] for angle in (-2.0, 0.1, 2.2)]
    places = tuple(Spot(tuple(map(float, middle[face]))) for face in faces)
    belt = Mark("belt", BELT, "b", places, size=2.0)
    names = names_of(figure.apply(marks_of(*SNOWMAN, belt)).sculpt)
    np.testing.assert_allclose(off[names == "belt"], 0.0, atol=1.3)
    turned = np.degrees(np.arctan2(middle[names == "belt", 1], middle[names == "belt", 0]))
    assert (np.histogram(turned, 12, (-180, 180))[0] > 0).all()
    # The zone of a ball between two planes: 2 π r times their distance.
    assert sculpt.mm2[names == "belt"].sum() == pytest.approx(2 * np.pi * 5.6 * 2.0, rel=0.15)


def test_a_belt_stays_on_its_shell_and_three_places_in_a_line_are_refused() -> None:
    sculpt, shell = touching_balls()
    figure = MarkedFigure(sculpt, marks_of())
    big, small = point_mark("big", (-8.0, 0.0, 8.0)), point_mark("small", (11.9, 0.0, 8.0))
    places = tuple(Spot(at) for at in ((-8.0, 0.0, 8.0), (0.0, -8.0, 8.0), (0.0, 8.0, 8.0)))
    belt = Mark("belt", BELT, "b", places, size=2.0)
    names = names_of(figure.apply(marks_of(big, small, belt)).sculpt)
    assert set(names[shell == 0]) == {"big", "belt"}
    assert set(names[shell == 1]) == {"small"}
    # On a place of another shell the belt covers that one, too.
    both = replace(belt, spots=(places[0], places[1], Spot((11.9, 0.0, 8.0))))
    names = names_of(figure.apply(marks_of(big, small, both)).sculpt)
    assert "belt" in names[shell == 0]
    assert "belt" in names[shell == 1]
    # Three clicks in a row up the front of the ball, nearly in a line that slants.
    bow = [np.radians(angle) for angle in (-12.0, 0.0, 12.0)]
    row = tuple(Spot((-8 * np.cos(a), 3 * np.sin(a), 8 + 7 * np.sin(a))) for a in bow)
    with pytest.raises(MarksFault, match="almost in one line"):
        figure.apply(marks_of(big, small, replace(belt, spots=row)))


def test_the_finer_shape_lies_on_top_and_equal_ones_are_refused(figure: MarkedFigure) -> None:
    at = Spot((0.0, -8.0, 8.0))
    wide = Mark("wide", DISC, "first", (at,), size=4.0)
    fine = Mark("fine", DISC, "second", (at,), size=2.0)
    names = names_of(figure.apply(marks_of(*SNOWMAN, fine, wide)).sculpt)
    assert (names == "fine").sum() > 3
    with pytest.raises(MarksFault, match="cover the same faces"):
        figure.apply(marks_of(*SNOWMAN, replace(fine, size=4.0), wide))


def test_a_shape_on_triangles_too_wide_for_it_is_told_once(figure: MarkedFigure) -> None:
    cube = sculpt_of(*box((-5, -5, 0), (10, 10, 10)))
    spot = Spot((-2.0, -5.0, 3.0), (0.0, -1.0, 0.0))
    eye = Mark("eye", DISC, "the eye", (spot,), size=1.0, mirror=True)
    body = point_mark("body", (0.0, 5.0, 5.0))
    notes = MarkedFigure(cube, marks_of(body)).apply(marks_of(body, eye)).notes
    (said,) = [note for note in notes if note.startswith("the eye: ")]
    assert "about 14.1 mm long, so the disc of 1 mm" in said
    assert "covers 1 of them, 50.00 mm²" in said
    fine = replace(eye, spots=(Spot((1.5, -3.3, 26.5)),), size=4.0)
    smooth = figure.apply(marks_of(point_mark("body", (0.0, -8.0, 8.0)), fine)).notes
    assert not [note for note in smooth if note.startswith("the eye: ")]


def test_a_belt_lies_over_a_band_of_heights_and_under_a_disc(figure: MarkedFigure) -> None:
    around = tuple(Spot((8 * x, 8 * y, 8.0)) for x, y in ((0.0, -1.0), (0.8, 0.6), (-0.8, 0.6)))
    belt = Mark("belt", BELT, "b", around, size=2.0)
    band = Mark("band", HEIGHTS, "h", low=6.0, high=10.0)
    disc = Mark("disc", DISC, "d", (around[0],), size=4.0)
    names = names_of(figure.apply(marks_of(*SNOWMAN, disc, belt, band)).sculpt)
    height = figure.sculpt.corners.mean(axis=1)[:, 2] - figure.sculpt.vertices[:, 2].min()
    near = np.abs(height - 8.0) < 0.5
    assert set(names[near]) == {"belt", "disc"}
    assert "band" in names


def test_an_edit_gives_what_a_fresh_start_gives(figure: MarkedFigure) -> None:
    before = figure.apply(marks_of(*SNOWMAN))
    more = marks_of(*SNOWMAN, point_mark("belly", (0.0, 5.6, 19.0)))
    np.testing.assert_array_equal(
        figure.apply(more, before).sculpt.area, figure.apply(more).sculpt.area
    )


def test_shapes_laid_already_give_what_a_fresh_start_gives(figure: MarkedFigure) -> None:
    disc = Mark("eye", DISC, "d", (Spot((1.5, -3.3, 26.5)),), size=2.0)
    strap = Mark("strap", STROKE, "s", (Spot((-5.0, -2.5, 19.0)), Spot((5.0, -2.5, 19.0))), 1.2)
    before = figure.apply(marks_of(*SNOWMAN, disc, strap))
    for shapes, mirror in (
        ([strap], False),
        ([replace(disc, size=1.0), strap], False),
        ([replace(disc, mirror=True), strap], False),
        ([strap, disc], True),
    ):
        marks = replace(marks_of(*SNOWMAN, *shapes), mirror=mirror)
        again, fresh = figure.apply(marks, before), figure.apply(marks)
        np.testing.assert_array_equal(names_of(again.sculpt), names_of(fresh.sculpt))
        kept = {id(cover) for cover in before.drawn.covers}
        reused = {cover.mark.area for cover in again.drawn.covers if id(cover) in kept}
        assert reused == (set() if mirror else {m.area for m in shapes if m in (disc, strap)})


def test_a_shape_wholly_under_others_is_told(figure: MarkedFigure) -> None:
    disc = Mark("eye", DISC, "small", (Spot((1.5, -3.3, 26.5)),), size=2.0)
    band = Mark("band", HEIGHTS, "low", low=26.0, high=27.0)
    over = Mark("mask", BELT, "belt", (Spot((0.0, -3.6, 26.5)), Spot((3.6, 0.0, 26.5)),
                                        Spot((-3.6, 0.0, 26.5))), size=2.0)  # fmt: skip
    notes = figure.apply(marks_of(*SNOWMAN, disc, band, over)).notes
    assert [note for note in notes if "wholly under" in note] == [
        "low lies wholly under belt, so nothing comes of it"
    ]


def test_a_band_of_heights_on_long_triangles_is_told() -> None:
    sculpt = sculpt_of(*box((-5.0, -5.0, 0.0), (10.0, 10.0, 20.0)))
    figure = MarkedFigure(sculpt, marks_of())
    for high, told in ((8.0, True), (40.0, False)):
        band = Mark("band", HEIGHTS, "band", low=5.0, high=high)
        notes = figure.apply(marks_of(band)).notes
        assert any("so the heights of 3 mm follows" in note for note in notes) == told


def test_only_what_areas_grow_from_makes_them_grow_again(figure: MarkedFigure) -> None:
    before = figure.apply(marks_of(*SNOWMAN))
    disc = Mark("eye", DISC, "d", (Spot((1.5, -3.3, 26.5)),), size=2.0)
    shell = Mark("all", SHELL, "s", shells=(1,))
    line = replace(SNOWMAN[0], spots=(*SNOWMAN[0].spots, Spot((0.0, 8.0, 8.0))))
    assert figure.apply(marks_of(*SNOWMAN, disc), before).grown is before.grown
    one_name = [SNOWMAN[0], replace(SNOWMAN[1], area="belly"), SNOWMAN[2]]
    for changed in (one_name, [shell], [line, *SNOWMAN[1:]], SNOWMAN[:2]):
        marks = marks_of(*changed)
        again, fresh = figure.apply(marks, before), figure.apply(marks)
        assert again.grown is not before.grown
        np.testing.assert_array_equal(names_of(again.sculpt), names_of(fresh.sculpt))


def test_a_stroke_over_the_rim_of_a_sheet_warns_of_nothing() -> None:
    import trimesh

    sheet = trimesh.creation.box((20.0, 0.6, 20.0)).subdivide_to_size(0.9)
    figure = MarkedFigure(sculpt_with_up(sheet.vertices, sheet.faces), marks_of())
    ends = (Spot((0.0, -0.3, 19.0), (0.0, -1.0, 0.0)), Spot((0.0, 0.3, 19.0), (0.0, 1.0, 0.0)))
    strap = Mark("strap", STROKE, "s", ends, size=1.2)
    with np.errstate(all="raise"):
        names = names_of(figure.apply(marks_of(point_mark("sheet", (0, -0.3, 5)), strap)).sculpt)
    assert "strap" in names


def test_all_that_is_wrong_with_marks_is_told_at_once(figure: MarkedFigure) -> None:
    marks = marks_of(
        point_mark("belly", (0.0, -20.0, 8.0), where="m, mark[1]"),
        point_mark("chest", (0.0, -5.6, 19.0), where="m, mark[2]"),
        point_mark("head", (0.0, -5.6, 19.0), where="m, mark[3]"),
        areas={"scarf": ("9",)},
        count=3,
    )
    with pytest.raises(MarksFault) as caught:
        figure.apply(marks)
    said = str(caught.value)
    assert "mm off the surface" in said
    assert "are marked on one face" in said
    assert "no region 9" in said
    assert '"1", "2", "3"' in said


def test_marks_that_name_nothing_are_refused(figure: MarkedFigure) -> None:
    with pytest.raises(CannotDo, match="names no area yet"):
        figure.apply(marks_of())
