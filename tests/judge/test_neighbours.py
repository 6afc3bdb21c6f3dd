"""Who meets whom, how, and over what length, on bodies whose borders are known."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from preview.areas.sculpt import Sculpt
from preview.errors import UsageError
from preview.judge.kinds import Kind
from preview.judge.meeting import Meeting
from preview.judge.neighbours import measure_neighbours
from preview.judge.views import AROUND, judge_views
from preview.render.scan import ScanRenderer
from preview.render.seen import Seen
from preview.render.view import View

RISE = np.radians(AROUND.elevation_deg)


def _near_arc(radius: float, half_turn: float = 0.5 * np.pi) -> float:
    """Length of the near part of a level circle, as the judge's views foreshorten it."""
    turn = np.linspace(-half_turn, half_turn, 20001)
    points = np.stack([radius * np.sin(turn), radius * np.sin(RISE) * np.cos(turn)])
    return float(np.linalg.norm(np.diff(points, axis=1), axis=0).sum())


def _pair(meeting: Meeting, first: str, second: str) -> int:
    names = [frozenset(meeting.area_names[k] for k in pair) for pair in meeting.pairs]
    return names.index(frozenset((first, second)))


@pytest.fixture(scope="module")
def globe_meeting(globe: Sculpt) -> tuple[Meeting, list[tuple[int, int]], list[float]]:
    """The globe measured; what progress heard; the azimuths that were looked from."""
    heard: list[tuple[int, int]] = []
    azimuths: list[float] = []

    class Listening(ScanRenderer):
        def see(self, view: View, samples: int = 1) -> Seen:
            azimuths.append(view.azimuth_deg)
            return super().see(view, samples)

    meeting = measure_neighbours(
        globe,
        renderer=Listening(globe.vertices, globe.faces),
        progress=lambda step, done, total: heard.append((done, total)),
    )
    return meeting, heard, azimuths


def test_two_halves_of_a_sphere_meet_at_the_equator(
    globe_meeting: tuple[Meeting, list[tuple[int, int]], list[float]],
) -> None:
    meeting, heard, azimuths = globe_meeting
    assert heard == [(k, 8) for k in range(1, 9)]
    assert sorted(azimuths) == [45.0 * k for k in range(8)]
    assert len(meeting.pairs) == 1
    # A polygon of 180 sides is 0.005 % shorter than its circle.
    assert meeting.edge_mm[0] == pytest.approx(2.0 * np.pi * 10.0, rel=1e-4)
    assert meeting.contact_mm[0] == 0.0
    # Pixel borders come out within 2.5 %, see the tests of the cracks.
    seen = meeting.visible_mm[0]
    assert seen[Kind.EDGE] == pytest.approx(np.full(8, _near_arc(10.0)), rel=0.03)
    assert seen[Kind.SILHOUETTE].max() < 0.02 * seen[Kind.EDGE].min()


def test_stripes_of_a_cylinder_meet_their_next_ones_only(bodies: SimpleNamespace) -> None:
    bands = [("a", 0.0, 4.0), ("b", 4.0, 6.5), ("c", 6.5, 13.0), ("d", 13.0, 14.0)]
    meeting = measure_neighbours(bodies.as_sculpt(bodies.column(5.0, bands)))
    assert meeting.pairs.tolist() == [[0, 1], [1, 2], [2, 3]]
    assert meeting.edge_mm == pytest.approx(np.full(3, 2.0 * np.pi * 5.0), rel=1e-4)
    seen = meeting.visible_mm[:, Kind.EDGE]
    assert seen == pytest.approx(np.full((3, 8), _near_arc(5.0)), rel=0.04)
    widths = meeting.part_width_mm[1]
    # A stripe as wide as 2.5 mm is foreshortened by the cosine of the elevation.
    assert widths == pytest.approx(np.full(8, 2.5 * np.cos(RISE)), abs=3.0 * meeting.sample_mm)


def test_sides_of_a_cube_meet_along_its_edges(bodies: SimpleNamespace) -> None:
    corner = np.array([[x, y, z] for z in (0, 8) for y in (0, 8) for x in (0, 8)], float)
    quads = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [2, 6, 7, 3], [0, 4, 6, 2], [1, 3, 7, 5]]
    names = ["bottom", "top", "front", "back", "left", "right"]
    parts = [
        (corner, np.array([[q[0], q[1], q[2]], [q[0], q[2], q[3]]]), name)
        for q, name in zip(quads, names, strict=True)
    ]
    meeting = measure_neighbours(bodies.as_sculpt(parts))
    assert len(meeting.pairs) == 12
    assert meeting.edge_mm == pytest.approx(np.full(12, 8.0))
    front = meeting.visible_mm[_pair(meeting, "top", "front"), Kind.EDGE]
    # Seen from the front at full length, from 45 degrees aside at 1/sqrt 2 across and some down.
    assert front[0] == pytest.approx(8.0, rel=0.02)
    aside = 8.0 * np.hypot(np.sqrt(0.5), np.sqrt(0.5) * np.sin(RISE))
    assert front[[1, 7]] == pytest.approx([aside, aside], rel=0.03)
    assert front[4] == 0.0


def test_one_sphere_before_another_meets_it_across_a_silhouette(
    bodies: SimpleNamespace,
) -> None:
    towards = np.array([0.0, -np.cos(RISE), np.sin(RISE)])
    near, far = bodies.sphere(3.0, "near", 20.0 * towards), bodies.sphere(6.0, "far")
    meeting = measure_neighbours(bodies.as_sculpt([near, far]))
    assert meeting.edge_mm.tolist() == [0.0]
    assert meeting.contact_mm.tolist() == [0.0]
    seen = meeting.visible_mm[0]
    assert not seen[Kind.EDGE].any()
    assert not seen[Kind.CONTACT].any()
    assert seen[Kind.SILHOUETTE, 0] == pytest.approx(2.0 * np.pi * 3.0, rel=0.025)
    # Seen from the left they stand side by side.
    assert seen[Kind.SILHOUETTE, 2] == 0.0


def test_shells_pushed_into_each_other_are_in_contact(bodies: SimpleNamespace) -> None:
    meeting = measure_neighbours(
        bodies.as_sculpt([bodies.sphere(8.0, "body"), bodies.sphere(5.0, "head", (0.0, 0.0, 9.0))])
    )
    assert meeting.edge_mm.tolist() == [0.0]
    # Spheres of radius R, r at distance d cut in a circle whose plane lies (d² + R² - r²) / 2d off.
    off = (81.0 + 64.0 - 25.0) / 18.0
    radius = float(np.sqrt(64.0 - off**2))
    assert meeting.contact_mm[0] == pytest.approx(2.0 * np.pi * radius, rel=2e-3)
    # In sight is the part of the circle where the head's surface, which leans outwards there, still
    # faces the eye.
    lean = np.arcsin((off - 9.0) / 5.0)
    turn = float(np.arccos(-np.tan(lean) * np.tan(RISE)))
    seen = meeting.visible_mm[0, Kind.CONTACT]
    assert seen == pytest.approx(np.full(8, _near_arc(radius, turn)), rel=0.05)


def test_hidden_faces_count_nowhere(bodies: SimpleNamespace) -> None:
    shown = [bodies.sphere(8.0, "body"), bodies.sphere(5.0, "head", (0.0, 0.0, 9.0))]
    alone = measure_neighbours(bodies.as_sculpt(shown))
    core = bodies.sphere(7.0, "core", (0.0, 0.0, 1.0))
    names = ["body", "head", "core"]
    filled = measure_neighbours(bodies.as_sculpt([*shown, core], names, hidden=["core"]))
    assert filled.pairs.tolist() == alone.pairs.tolist()
    assert filled.contact_mm == pytest.approx(alone.contact_mm)
    assert filled.face_samples.sum() == alone.face_samples.sum()
    assert np.isnan(filled.part_width_mm[2]).all()


def test_views_are_fine_enough_for_the_distance(globe: Sculpt) -> None:
    for distance_m in (0.3, 1.0, 5.0):
        pixel = judge_views(globe, distance_m)[0].mm_per_pixel
        per_degree = 1000.0 * distance_m * np.radians(1.0) / pixel
        assert per_degree >= 119.99


def test_views_frame_the_figure(globe: Sculpt) -> None:
    shifted = replace(globe, vertices=globe.vertices + np.array([30, -7, 4], np.float32))
    for view in judge_views(shifted, 1.0):
        right, up, _ = view.axes()
        across = (shifted.vertices - np.array(view.target)) @ np.stack([right, up]).T
        assert np.abs(across).max(axis=0) == pytest.approx([10.0, 10.0], abs=0.05)
        half = 0.5 * view.mm_per_pixel * np.array([view.width, view.height])
        assert (half > 10.0).all()
        assert (half < 10.5).all()


def test_lengths_do_not_depend_on_the_distance(globe: Sculpt) -> None:
    assert judge_views(globe, 0.9) == judge_views(globe, 9.0)


@pytest.mark.parametrize("distance_m", [0.0, -1.0, float("nan"), float("inf"), 1e6])
def test_impossible_distances_are_refused(globe: Sculpt, distance_m: float) -> None:
    with pytest.raises(UsageError, match="distance"):
        measure_neighbours(globe, distance_m)
