"""The map of borders: each in its pen, letters for the areas, the same bytes every time."""

from __future__ import annotations

from collections.abc import Callable
from types import SimpleNamespace

import numpy as np
import pytest

from preview.areas.sculpt import Sculpt
from preview.judge.colours import Colours
from preview.judge.grades import Grade
from preview.judge.judge import grade, measure_neighbours
from preview.judge.verdict import Verdict
from preview.optics.cie1976_lab import y_from_lightness
from preview.present.boundary_map import MapView, draw_map, letters_of
from preview.present.boundary_sheet import boundary_sheet, nothing_weak, side_in_words, why_weak
from preview.present.mend_pictures import close_up
from preview.present.pens import PENS
from preview.render.framing import framing
from preview.render.rays import RayRenderer
from tests.sculpts import sculpt_of, sphere_mesh


@pytest.fixture(scope="module")
def figure() -> Sculpt:
    """A sphere in three bands."""
    vertices, faces = sphere_mesh(subdivisions=5)
    height = vertices[faces].mean(axis=1)[:, 2]
    area = np.digitize(height, [-5.0, 4.0])
    return sculpt_of(vertices, faces, area, ("boots", "coat", "face"))


@pytest.fixture(scope="module")
def view(figure: Sculpt) -> MapView:
    """Its front."""
    shot = framing(figure.vertices, 260, 260, elevation_deg=20.0)
    return MapView(figure, RayRenderer(figure.vertices, figure.faces).see(shot, 1))


@pytest.fixture(scope="module")
def judged(figure: Sculpt) -> Callable[..., Verdict]:
    """A verdict on greys."""
    meeting = measure_neighbours(figure)

    def verdict(**lightness: float) -> Verdict:
        L = np.array([lightness[name] for name in figure.area_names])
        lab = np.stack([L, 0.0 * L, 0.0 * L], axis=1)
        return grade(meeting, Colours(y_from_lightness(L), lab, lab, figure.area))

    return verdict


def _counts(picture: np.ndarray, grade_: Grade) -> int:
    """Pixels about in the colour of a pen."""
    return int((np.abs(picture.astype(int) - PENS[grade_].colour).max(axis=2) < 26).sum())


def test_each_border_is_drawn_in_its_grade(view: MapView, judged: Callable[..., Verdict]) -> None:
    verdict = judged(boots=20.0, coat=70.0, face=70.0)
    grades = {pair.name: pair.grade for pair in verdict.pairs}
    assert sorted(grades.values()) == [Grade.LOST, Grade.STRONG]
    picture = np.asarray(draw_map(view, verdict))
    assert _counts(picture, Grade.LOST) > 20
    assert _counts(picture, Grade.STRONG) > 20
    assert _counts(picture, Grade.VISIBLE) == 0
    lost = np.flatnonzero(
        (np.abs(picture.astype(int) - PENS[Grade.LOST].colour).max(axis=2) < 26).any(axis=1)
    )
    strong = np.flatnonzero(
        (np.abs(picture.astype(int) - PENS[Grade.STRONG].colour).max(axis=2) < 26).any(axis=1)
    )
    # The face stands above the boots.
    assert lost.mean() < strong.mean()


def test_the_same_map_every_time(view: MapView, judged: Callable[..., Verdict]) -> None:
    verdict = judged(boots=20.0, coat=50.0, face=60.0)
    one, two = (np.asarray(draw_map(view, verdict)) for _ in range(2))
    assert np.array_equal(one, two)
    other = np.asarray(draw_map(view, judged(boots=50.0, coat=50.0, face=50.0)))
    assert np.abs(one.astype(int) - other).max() > 100


def test_letters_by_size() -> None:
    vertices, faces = sphere_mesh(subdivisions=3)
    area = np.minimum(np.arange(len(faces)) // 3, 29)
    names = tuple(f"area {k}" for k in range(30))
    letters = letters_of(sculpt_of(vertices, faces, area, names))
    assert letters["area 29"] == "A"
    assert len(set(letters.values())) == 30
    assert "AD" in letters.values()


def test_the_sheet_names_what_is_weak(view: MapView, judged: Callable[..., Verdict]) -> None:
    weak, fine = judged(boots=20.0, coat=50.0, face=52.0), judged(boots=20.0, coat=55.0, face=90.0)
    assert fine.below(Grade.READABLE) == ()
    sheets = [boundary_sheet([view, view], verdict, "Ball") for verdict in (weak, fine)]
    for sheet in sheets:
        assert sheet.width > 2 * 260
        assert np.asarray(sheet.convert("L")).std() > 10


def test_a_step_short_of_a_cut_off_is_not_rounded_up_to_it(judged: Callable[..., Verdict]) -> None:
    pair = judged(boots=20.0, coat=50.0, face=59.75).pair_of("face", "coat")
    assert pair is not None
    assert 9.5 < pair.step < 9.95
    assert f"ΔL* {pair.step:.1f} after blur" in why_weak(pair)


def test_close_ups_show_the_border(view: MapView) -> None:
    where = close_up([view], "face", "coat")
    assert where is not None
    rows, columns = where.box
    piece = view.label[rows, columns]
    assert {1, 2} <= set(np.unique(piece).tolist())
    assert close_up([view], "face", "boots") is None


def test_hidden_faces_get_no_border(view: MapView, figure: Sculpt) -> None:
    hidden = SimpleNamespace(**{**vars(figure), "exposed": np.zeros(len(figure.faces), bool)})
    assert MapView(hidden, view.seen).lines == []


def test_sides_in_words() -> None:
    turned = [side_in_words(a) for a in (0.0, 75.0, 180.0, 285.0, 350.0)]
    assert turned == ["front", "left", "back", "right", "front"]


def test_an_empty_list_says_why(figure: Sculpt, judged: Callable[..., Verdict]) -> None:
    fine = judged(boots=20.0, coat=55.0, face=90.0)
    assert nothing_weak(fine) == "Every pair of neighbours reads."
    small = sculpt_of(0.05 * figure.vertices, figure.faces, figure.area, figure.area_names)
    far = grade(
        measure_neighbours(small, 2.0), Colours(*_greys(small, 20.0, 55.0, 90.0), small.area)
    )
    assert far.pairs
    assert nothing_weak(far) == far.summary
    one = sculpt_of(figure.vertices, figure.faces, np.zeros(len(figure.faces), int), ("ball",))
    alone = grade(measure_neighbours(one), Colours(*_greys(one, 50.0), one.area))
    assert "single area" in nothing_weak(alone)


def _greys(figure: Sculpt, *lightness: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Even grey paint for each area."""
    L = np.array(lightness)
    assert len(L) == len(figure.area_names)
    lab = np.stack([L, 0.0 * L, 0.0 * L], axis=1)
    return y_from_lightness(L), lab, lab
