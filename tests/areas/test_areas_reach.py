"""A growing mark that says how far: nothing beyond it, and nothing lost behind it."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations
from pathlib import Path

import numpy as np
import pytest
import trimesh
from scipy.sparse import coo_array
from scipy.sparse.csgraph import dijkstra

from preview.areas.analysis.analysis import Analysis
from preview.areas.analysis.flood import flooded
from preview.areas.marks.apply import UNMARKED, MarkedFigure
from preview.areas.marks.model import Mark, Spot
from preview.areas.marks.read import load_marks
from preview.areas.marks.settled import digest_of
from preview.errors import MarksFault
from tests.areas.copies import as_kept
from tests.areas.marked_bodies import (
    SNOWMAN,
    Point,
    marks_of,
    names_of,
    point_mark,
    snowman,
    touching_balls,
)
from tests.areas.small_meshes import ball, joined
from tests.sculpts import sculpt_of

FRONT = (0.0, -1.0, 0.0)


@pytest.fixture(scope="module")
def wall() -> MarkedFigure:
    """A wall of 20 by 1 by 20 mm, its front at y = -0.5."""
    plate = trimesh.creation.box((20.0, 1.0, 20.0)).subdivide_to_size(0.3)
    plate.apply_translation((0.0, 0.0, 10.0))
    return MarkedFigure(sculpt_of(np.asarray(plate.vertices), np.asarray(plate.faces)), marks_of())


def _within(area: str, reach: float, *places: Point) -> Mark:
    spots = tuple(Spot(at, FRONT) for at in places)
    return replace(point_mark(area, places[0], FRONT), size=reach, spots=spots)


def test_on_a_flat_wall_it_is_a_disc_of_that_radius(wall: MarkedFigure) -> None:
    corner = point_mark("wall", (9.5, -0.5, 19.5), FRONT)
    sculpt = wall.apply(marks_of(corner, _within("patch", 3.0, (-4.0, -0.5, 6.0)))).sculpt
    patch, middle = names_of(sculpt) == "patch", sculpt.corners.mean(axis=1)
    assert sculpt.mm2[patch].sum() == pytest.approx(np.pi * 3.0**2, rel=0.03)
    assert np.linalg.norm(middle[patch] - (-4.0, -0.5, 6.0), axis=1).max() < 3.0 + 0.3
    assert set(names_of(sculpt)) == {"wall", "patch"}


def test_around_a_line_it_is_a_band_and_what_lies_behind_belongs_to_others(
    wall: MarkedFigure,
) -> None:
    ends = (-2.0, -0.5, 0.2), (-2.0, -0.5, 19.8)
    marks = marks_of(point_mark("wall", (9.5, -0.5, 10.0), FRONT), _within("stripe", 1.0, *ends))
    sculpt = wall.apply(marks).sculpt
    names, middle = names_of(sculpt), sculpt.corners.mean(axis=1)
    on_front = middle[:, 1] < -0.49
    across = middle[names == "stripe", 0]
    assert sculpt.mm2[(names == "stripe") & on_front].sum() == pytest.approx(2.0 * 20.0, rel=0.1)
    assert across.min() > -3.4
    assert across.max() < -0.6
    # Over the front nothing but the stripe leads there.
    assert set(names[on_front & (middle[:, 0] < -3.5)]) == {"wall"}


@pytest.mark.parametrize("seed", range(6))
def test_of_those_within_whose_reach_a_face_lies_it_takes_the_nearest(seed: int) -> None:
    # Against shortest paths of scipy.sparse.csgraph on the faces within each reach alone.
    rng = np.random.default_rng(seed)
    sculpt, _ = snowman(1.2)
    surface = Analysis(sculpt.vertices, sculpt.faces).surface
    count = len(surface.faces)
    face = rng.choice(count, 9, replace=False)
    label = np.arange(9) % 4
    reach = rng.choice([2.0, 5.0, 9.0, np.inf], 9)
    reach[:2] = np.inf, 4.0
    behind = rng.uniform(0.0, 2.0, 9)
    best, taken = np.full(count, np.inf), np.full(count, -1)
    for one, far in {(int(k), float(r)) for k, r in zip(label, reach, strict=True)}:
        which = np.flatnonzero((label == one) & (reach == far))
        away = np.linalg.norm(surface.centre[:, None] - surface.centre[face[which]], axis=2)
        inside = away.min(axis=1) <= far
        steps = inside[surface.left] & inside[surface.right]
        ends = surface.left[steps], surface.right[steps]
        net = coo_array((surface.cost[steps], ends), shape=(count, count)).tocsr()
        found = dijkstra(net, directed=False, indices=face[which]) + behind[which, None]
        nearer = found.min(axis=0) < best
        best = np.where(nearer, found.min(axis=0), best)
        taken = np.where(nearer, one, taken)
    np.testing.assert_array_equal(flooded(surface, face, label, behind, reach), taken)


def test_order_does_not_matter(figure: MarkedFigure) -> None:
    near = [
        replace(SNOWMAN[0], size=6.0),
        replace(SNOWMAN[1], size=9.0),
        SNOWMAN[2],
        replace(point_mark("nose", (0.0, -5.4, 20.5)), size=4.0),
    ]
    first = names_of(figure.apply(marks_of(*near)).sculpt)
    assert set(first) == {"belly", "chest", "head", "nose"}
    for turned in permutations(near):
        np.testing.assert_array_equal(names_of(figure.apply(marks_of(*turned)).sculpt), first)


def test_of_marks_of_one_area_on_one_face_the_one_that_grows_farthest_counts(
    wall: MarkedFigure,
) -> None:
    corner, at = point_mark("wall", (9.5, -0.5, 19.5), FRONT), (-4.0, -0.5, 6.0)
    short, long, free = _within("a", 1.0, at), _within("a", 3.0, at), point_mark("a", at, FRONT)
    for pair, alone in (((short, long), long), ((short, free), free)):
        alone_made = wall.apply(marks_of(corner, alone)).sculpt
        for two in (pair, pair[::-1]):
            made = wall.apply(marks_of(corner, *(replace(m, where=str(m.size)) for m in two)))
            np.testing.assert_array_equal(names_of(made.sculpt), names_of(alone_made))
            said = [note for note in made.notes if "counts for nothing" in note]
            assert [note.split(":")[0] for note in said] == ["1.0"]


def test_where_two_are_equally_near_neither_the_order_of_marks_nor_of_names_decides() -> None:
    # All steps cost the same, so that many faces are exactly as near to one mark as to another.
    sculpt = sculpt_of(*ball((0.0, 0.0, 4.0), 4.0, 12))
    surface = Analysis(sculpt.vertices, sculpt.faces).surface
    even = replace(surface, cost=np.ones_like(surface.cost))
    rng = np.random.default_rng(3)
    for _ in range(8):
        face = rng.choice(len(surface.faces), 5, replace=False)
        label, reach = np.array([0, 1, 2, 3, 4]), np.array([np.inf, 3.0, 3.0, 5.0, 5.0])
        first = flooded(even, face, label, None, reach)
        for _ in range(4):
            order, named = rng.permutation(5), rng.permutation(5)
            again = flooded(even, face[order], named[label[order]], None, reach[order])
            np.testing.assert_array_equal(again, named[first])


def test_on_other_exports_remembered_places_leave_bare_what_marks_leave_bare() -> None:
    marks = marks_of(
        *(replace(mark, size=size) for mark, size in zip(SNOWMAN, (5.0, 3.0, 3.0), strict=True)),
        replace(point_mark("back", (0.0, 8.0, 8.0)), size=6.0),
    )
    _, kept, first = as_kept(snowman(0.5)[0], marks)
    bare = first.sculpt.mm2[names_of(first.sculpt) == UNMARKED].sum()
    assert bare > 0.3 * first.sculpt.mm2.sum()
    assert kept.settled is not None
    # Every place tells of one area, so most of them stray.
    areas = {"head": sum(kept.settled.areas.values(), ())}
    strayed = replace(kept, settled=replace(kept.settled, areas=areas))
    for cell in (0.5, 0.8):
        other = MarkedFigure(snowman(cell)[0], strayed).apply(strayed)
        assert any("remembered places would have changed" in note for note in other.notes)
        again = other.sculpt.mm2[names_of(other.sculpt) == UNMARKED].sum()
        assert again == pytest.approx(bare, rel=0.05)


def test_what_remembered_places_know_is_not_left_bare() -> None:
    # As when a part comes off a figure, and the only mark on it reaches less far than it.
    sculpt = snowman(0.5)[0]
    _, everywhere, _ = as_kept(sculpt, marks_of(*SNOWMAN))
    _, short, _ = as_kept(sculpt, marks_of(*(replace(mark, size=3.0) for mark in SNOWMAN)))
    assert everywhere.settled is not None
    assert short.settled is not None
    both = replace(short, settled=replace(short.settled, areas=everywhere.settled.areas))
    names = names_of(MarkedFigure(sculpt, both).apply(both).sculpt)
    assert set(names) == {"belly", "chest", "head"}


def test_shells_of_one_shape_lend_each_other_marks_with_their_reach() -> None:
    man, part = snowman()
    moved = man.vertices + np.array((20.0, 0.0, 0.0), np.float32)
    sculpt = sculpt_of(*joined((man.vertices, man.faces), (moved, man.faces)))
    figure = MarkedFigure(sculpt, marks_of())
    (x, y, z) = (0.0, -3.6, 26.5)
    low, high = point_mark("body", (0.0, -8.0, 8.0)), point_mark("head", (x, y, z))
    other = point_mark("other", (20.0, -8.0, 8.0))
    away = np.linalg.norm(sculpt.corners.mean(axis=1) - (x + 20.0, y, z), axis=1)
    lent = {}
    for reach in (0.0, 2.0):
        marks = marks_of(low, replace(high, size=reach), other)
        names = names_of(figure.apply(marks).sculpt)[len(part) :]
        assert set(names[away[len(part) :] < 1.5]) == {"head"}
        lent[reach] = sculpt.mm2[len(part) :][names == "head"].sum()
    assert lent[2.0] < 0.3 * lent[0.0]


def test_a_shell_of_a_shape_takes_from_one_that_is_bare_in_places() -> None:
    # The first face is beyond all reach.
    sculpt = sculpt_of(*joined(ball((-6, 0, 4), 4.0, 20), ball((6, 0, 4), 4.0, 20)))
    middle = sculpt.corners.mean(axis=1)
    left = middle[:, 0] < 0
    away = np.linalg.norm(middle - middle[0], axis=1)
    far = int(np.argmax(np.where(left, away, 0.0)))
    x, y, z = (float(k) for k in middle[far])
    mark = replace(point_mark("cap", (x, y, z)), size=3.0)
    names = names_of(MarkedFigure(sculpt, marks_of()).apply(marks_of(mark)).sculpt)
    assert names[0] == UNMARKED
    assert set(names) == {"cap", UNMARKED}
    # A ball has no axes of its own, so it may lie turned, by other triangles.
    caps = [sculpt.mm2[side & (names == "cap")].sum() for side in (left, ~left)]
    assert caps[1] == pytest.approx(caps[0], rel=0.1)


def test_the_least_reach_still_holds_its_own_place(figure: MarkedFigure) -> None:
    dot = replace(point_mark("dot", (0.0, -5.6, 19.0)), size=0.01)
    marked = figure.apply(marks_of(*SNOWMAN[:1], SNOWMAN[2], dot))
    assert 1 <= (marked.carried.thin == 2).sum() <= 4


def test_a_shell_with_nothing_but_short_marks_takes_the_rest_from_what_it_touches() -> None:
    sculpt, shell = touching_balls()
    figure = MarkedFigure(sculpt, marks_of())
    big = point_mark("big", (-8.0, 0.0, 8.0))
    caps = [replace(point_mark("cap", at), size=1.5) for at in ((11.9, 0.0, 8.0), (31.5, 0.0, 8.0))]
    names = names_of(figure.apply(marks_of(big, *caps)).sculpt)
    assert set(names[shell == 0]) == {"big"}
    assert set(names[shell == 1]) == {"cap", "big"}
    # The third ball touches nothing.
    assert set(names[shell == 2]) == {"cap", UNMARKED}


def test_on_triangles_too_wide_for_it_that_is_told() -> None:
    plate = trimesh.creation.box((20.0, 1.0, 20.0)).subdivide_to_size(5.0)
    plate.apply_translation((0.0, 0.0, 10.0))
    sculpt = sculpt_of(np.asarray(plate.vertices), np.asarray(plate.faces))
    figure = MarkedFigure(sculpt, marks_of())
    wide = point_mark("wall", (9.5, -0.5, 19.5), FRONT)
    edges = np.linalg.norm(np.diff(sculpt.corners[:, [0, 1, 2, 0]], axis=1), axis=2).max(axis=1)
    long_mm = edges[np.abs(sculpt.corners[:, :, 1] + 0.5).max(axis=1) < 1e-3][0]
    for reach, told in ((0.4 * long_mm, True), (1.5 * long_mm, False)):
        notes = figure.apply(marks_of(wide, _within("patch", reach, (0.0, -0.5, 6.0)))).notes
        said = [note for note in notes if "follows their edges" in note]
        assert [f"{long_mm:.1f} mm long" in note for note in said] == [True] * told
    notes = figure.apply(marks_of(wide, _within("patch", 0.01, (0.0, -0.5, 6.0)))).notes
    assert any("so nothing comes of it; a longer reach" in note for note in notes)
    assert 'nothing of "patch" is left' in notes


def test_on_the_other_side_it_reaches_as_far(wall: MarkedFigure) -> None:
    wide = point_mark("wall", (0.0, -0.5, 19.5), FRONT)
    for mark, both in (
        (replace(_within("patch", 2.0, (-5.0, -0.5, 6.0)), mirror=True), False),
        (_within("patch", 2.0, (-5.0, -0.5, 6.0)), True),
    ):
        marks = replace(marks_of(wide, mark), mirror=both)
        figure = MarkedFigure(wall.sculpt, marks)
        sculpt = figure.apply(marks).sculpt
        patch, right = names_of(sculpt) == "patch", sculpt.corners.mean(axis=1)[:, 0] > 0
        for side in (patch & right, patch & ~right):
            assert sculpt.mm2[side].sum() == pytest.approx(np.pi * 2.0**2, rel=0.05)


def test_it_grows_anew_when_the_reach_changes_and_other_exports_hear_of_it(
    figure: MarkedFigure,
) -> None:
    before = figure.apply(marks_of(*SNOWMAN))
    shorter = marks_of(*SNOWMAN[:2], replace(SNOWMAN[2], size=2.0))
    again = figure.apply(shorter, before)
    assert again.grown is not before.grown
    np.testing.assert_array_equal(again.sculpt.area, figure.apply(shorter).sculpt.area)
    metric = figure.analysis.metric
    assert digest_of(shorter, metric) != digest_of(marks_of(*SNOWMAN), metric)


def test_a_file_says_it_in_mm(tmp_path: Path) -> None:
    path = tmp_path / "marks.toml"
    path.write_text("format = 1\n[[mark]]\narea = 'coat'\nat = [1, 2, 3]\nreach = 2.5\n", "utf-8")
    assert load_marks(path).marks[0].size == 2.5


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("reach = 0", "reach must be a number from 0.01 to 100, got 0"),
        ("reach = 'far'", "reach must be a number from 0.01 to 100, got 'far'"),
        ("reach = nan", "reach must be a number"),
        ("reach = 2\ndisc = 1", "reach says how far a mark grows, and disc does not grow"),
    ],
)
def test_slips_of_a_reach(line: str, said: str, tmp_path: Path) -> None:
    path = tmp_path / "marks.toml"
    path.write_text(f"format = 1\n[[mark]]\narea = 'coat'\nat = [1, 2, 3]\n{line}\n", "utf-8")
    with pytest.raises(MarksFault) as caught:
        raise MarksFault.of(list(load_marks(path).faults))
    assert said in str(caught.value)
