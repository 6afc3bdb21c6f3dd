"""Places that a marks file keeps once its areas were shown: they hold areas on other exports."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from preview.areas.analysis.metric import Metric
from preview.areas.analysis.regions import depth_mm, regions_of
from preview.areas.analysis.surface import surface_of
from preview.areas.marks.apply import Marked, MarkedFigure
from preview.areas.marks.model import DISC, SHELL, Mark, Marks, Settled, Spot
from preview.areas.marks.read import load_marks
from preview.areas.marks.settled import digest_of
from preview.areas.marks.write import updated_text
from preview.errors import MarksFault
from tests.areas.copies import as_kept, copies, same_share
from tests.areas.figures.beekeeper import beekeeper
from tests.areas.marked_bodies import marks_of, names_of, point_mark, snowman
from tests.areas.small_meshes import box, joined
from tests.sculpts import sculpt_of

BELLY = point_mark("belly", (0.0, -8.0, 8.0), (0.0, -1.0, 0.0))
HEAD = point_mark("head", (0.0, -3.6, 26.5), (0.0, -1.0, 0.0))
NOSE = Mark("nose", DISC, "test", (Spot((0.0, -3.6, 27.0)),), size=0.8)


@pytest.fixture(scope="module")
def kept() -> tuple[MarkedFigure, Marks, Marked]:
    """A snowman of two areas."""
    return as_kept(snowman()[0], marks_of(BELLY, HEAD))


def test_a_tenth_of_the_faces_keeps_its_areas_where_marks_alone_would_not(tmp_path: Path) -> None:
    made = beekeeper(0.2)
    sculpt = sculpt_of(made.vertices, made.faces)
    surface = surface_of(sculpt.vertices, sculpt.faces, Metric.of(sculpt.vertices))
    middles = regions_of(surface, made.area, list(made.names))
    one_each = marks_of(*(point_mark(r.name, r.at, r.normal) for r in middles))
    figure, marks, first = as_kept(sculpt, one_each)
    ((_, copy),) = copies(sculpt, tmp_path, ("tenth",))
    other = MarkedFigure(copy, marks)
    by_marks_alone = other.apply(replace(marks, settled=None))
    held = other.apply(marks)
    assert same_share(figure, first, other, by_marks_alone) < 0.95
    assert same_share(figure, first, other, held) >= 0.98
    assert any("remembered places would have changed" in note for note in held.notes)
    assert held.seeds == by_marks_alone.seeds


def test_on_its_own_mesh_a_file_makes_what_its_marks_make(
    kept: tuple[MarkedFigure, Marks, Marked],
) -> None:
    figure, marks, first = kept
    assert marks.settled is not None
    assert set(marks.settled.areas) == {"belly", "head"}
    again = figure.apply(marks)
    assert np.array_equal(again.sculpt.area, first.sculpt.area)
    assert again.notes == first.notes


def test_where_shells_run_into_each_other_a_file_still_makes_what_its_marks_make() -> None:
    """Two boxes whose tops share a plane: a place there is on either, and keeps no area."""
    vertices, faces = joined(box((0, 0, 0), (10, 10, 10)), box((5, 0, 2), (10, 10, 8)))
    sculpt = sculpt_of(vertices, faces)
    one = point_mark("one", (0.0, 5.0, 5.0), (-1.0, 0.0, 0.0))
    other = point_mark("other", (15.0, 5.0, 5.0), (1.0, 0.0, 0.0))
    figure, marks, first = as_kept(sculpt, marks_of(one, other))
    again = figure.apply(marks)
    assert marks.settled is not None
    assert set(marks.settled.areas) == {"one", "other"}
    assert again.notes == first.notes
    assert np.array_equal(again.sculpt.area, first.sculpt.area)


def test_what_is_unmarked_settles_nothing() -> None:
    vertices, faces = joined(box((0, 0, 0), (10, 10, 10)), box((30, 0, 0), (10, 10, 10)))
    one = point_mark("one", (0.0, 5.0, 5.0), (-1.0, 0.0, 0.0))
    _, marks, _ = as_kept(sculpt_of(vertices, faces), marks_of(one))
    assert marks.settled is not None
    places = [spot.at for spots in marks.settled.areas.values() for spot in spots]
    assert places
    assert all(at is not None and at[0] < 20.0 for at in places)


def _all_head(marks: Marks) -> Marks:
    """The same, as if all places but those near the belly's mark had been head."""
    assert marks.settled is not None
    belly = marks.settled.areas["belly"]
    high = tuple(spot for spot in belly if spot.at and spot.at[2] > 14.0)
    low = tuple(spot for spot in belly if spot not in high)
    areas = {"belly": low, "head": marks.settled.areas["head"] + high}
    return replace(marks, settled=Settled(marks.settled.digest, areas))


def test_places_keep_away_from_seams(kept: tuple[MarkedFigure, Marks, Marked]) -> None:
    figure, marks, first = kept
    assert marks.settled is not None
    surface = figure.analysis.surface
    depth = depth_mm(surface, first.carried.thin)
    beside = depth * surface.metric.scale < 0.1
    assert beside.sum() > 50
    spots = [spot.at for spots in marks.settled.areas.values() for spot in spots]
    away = np.linalg.norm(surface.centre[beside][:, None] - np.array(spots)[None], axis=2)
    # Places are written with two digits of a mm.
    assert away.min() > 0.01


def test_a_place_on_the_face_of_a_mark_gives_way_to_it(
    kept: tuple[MarkedFigure, Marks, Marked],
) -> None:
    figure, marks, first = kept
    wrong = _all_head(marks)
    assert wrong.settled is not None
    areas = {**wrong.settled.areas, "head": (*wrong.settled.areas["head"], *BELLY.spots)}
    held = figure.apply(replace(wrong, settled=Settled(wrong.settled.digest, areas)))
    (belly,) = (seed for seed in first.seeds if seed.area == "belly")
    assert held.names[held.carried.thin[belly.face]] == "belly"


def test_places_hold_their_areas(kept: tuple[MarkedFigure, Marks, Marked]) -> None:
    figure, marks, first = kept
    held = figure.apply(_all_head(marks))
    waist = np.abs(figure.vertices[figure.sculpt.faces].mean(axis=1)[:, 2] - 15.5) < 0.5
    assert (names_of(first.sculpt)[waist] == "belly").all()
    assert (names_of(held.sculpt)[waist] == "head").all()


@pytest.mark.parametrize(
    "change",
    [
        lambda marks: replace(marks, marks=(BELLY, replace(HEAD, area="face"))),
        lambda marks: replace(marks, marks=(*marks.marks, point_mark("head", (0.0, -5.6, 19.0)))),
        lambda marks: replace(marks, mirror=True),
        lambda marks: replace(marks, marks=(BELLY,)),
    ],
)
def test_with_other_marks_places_count_for_nothing(
    kept: tuple[MarkedFigure, Marks, Marked], change: Callable[[Marks], Marks]
) -> None:
    figure, marks, _ = kept
    other = change(_all_head(marks))
    alone = figure.apply(replace(other, settled=None))
    assert np.array_equal(figure.apply(other).sculpt.area, alone.sculpt.area)


def test_order_and_shapes_on_top_leave_places_settled() -> None:
    metric = Metric(1.0)
    own = digest_of(marks_of(BELLY, HEAD), metric)
    assert digest_of(marks_of(HEAD, BELLY, NOSE), metric) == own
    assert digest_of(marks_of(BELLY, HEAD), Metric(1.0, smooth=0.3)) != own
    other_side = point_mark("belly", (0.0, -8.0, 8.0), (0.0, 1.0, 0.0))
    assert digest_of(marks_of(other_side, HEAD), metric) != own
    whole = Mark("rivets", SHELL, "", shells=(2,))
    with_shell = digest_of(marks_of(BELLY, HEAD, whole), metric)
    assert with_shell != own
    assert digest_of(marks_of(BELLY, HEAD, replace(whole, shells=(3,))), metric) != with_shell
    mirrored = replace(marks_of(BELLY, HEAD), mirror=True)
    assert digest_of(replace(mirrored, mirror_x=1.0), metric) != digest_of(mirrored, metric)
    at = (0.0, -8.0004, 8.0)
    assert digest_of(marks_of(point_mark("belly", at, (0.0, -1.0, 0.0)), HEAD), metric) == own


def test_a_region_that_moved_or_was_named_anew_is_another_digest() -> None:
    metric = Metric(1.0)
    regions = {"1": Spot((0.0, 0.0, 1.0), (0.0, 0.0, 1.0)), "2": Spot((0.0, 0.0, 2.0))}
    named = replace(marks_of(areas={"coat": ("1",)}), regions=regions)
    own = digest_of(named, metric)
    assert digest_of(replace(named, areas={"coat": ("1", "2")}), metric) != own
    assert digest_of(replace(named, regions={**regions, "1": Spot((0.0, 0.0, 3.0))}), metric) != own
    assert digest_of(replace(named, regions={"1": regions["1"]}), metric) == own


def test_another_export_without_settled_places_is_told(
    kept: tuple[MarkedFigure, Marks, Marked], tmp_path: Path
) -> None:
    figure, marks, _ = kept
    ((_, copy),) = copies(figure.sculpt, tmp_path, ("finer",))
    other = MarkedFigure(copy, marks)
    assert any("--update" in note for note in other.apply(replace(marks, settled=None)).notes)
    assert not any("--update" in note for note in other.apply(marks).notes)


def test_the_file_keeps_places_and_reads_them_back(
    kept: tuple[MarkedFigure, Marks, Marked], tmp_path: Path
) -> None:
    figure, marks, _ = kept
    text = (
        "[[mark]]\narea = 'belly'\nat = [0, -8, 8]\nnormal = [0, -1, 0]\n"
        "[[mark]]\narea = 'head'\nat = [0, -3.6, 26.5]\nnormal = [0, -1, 0]\n"
    )
    assert marks.figure is not None
    metric = figure.analysis.metric
    path = tmp_path / "m.toml"
    for _ in range(2):
        text = updated_text(text, marks, marks.figure, metric, {}, {}, marks.settled)
        path.write_text(text, encoding="utf-8")
        again = load_marks(path)
        assert again.settled == marks.settled
        assert again.settled is not None
        assert again.settled.digest == digest_of(again, metric)


def test_slips_among_kept_places_are_told(tmp_path: Path) -> None:
    path = tmp_path / "m.toml"
    path.write_text(
        "[areas]\na = 1\n[settled]\ndigest = 7\nplace = 1\n[settled.areas]\n"
        "a = [[1, 2]]\nb = 3\nc = [[0, 0, 0, 0, 0, 0]]\n"
        f"d = {[[0, 0, 0, 0, 0, 1]] * 2001}\n",
        encoding="utf-8",
    )
    with pytest.raises(MarksFault) as caught:
        load_marks(path)
    said = str(caught.value)
    for expected in ('unknown key "place"', "digest must be a text", "at most 2000 places"):
        assert expected in said, expected
    places = [fault.where for fault in caught.value.faults if "list" in fault.what]
    assert places == [f"m.toml, settled, areas, {name}" for name in "abcd"]
    assert len(said) < 2000
