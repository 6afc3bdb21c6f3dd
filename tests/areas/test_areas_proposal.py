"""Proposals: nested numbers, true borders, sizes that add up."""

from __future__ import annotations

import numpy as np
import pytest

from preview.areas.analysis.agreement import nameable_share, rand_index
from preview.areas.analysis.analysis import Analysis
from preview.areas.analysis.metric import Metric
from preview.areas.analysis.regions import in_order, part_name, proposed
from preview.areas.analysis.seams import smoothed
from preview.areas.analysis.surface import surface_of
from tests.areas.copies import turn
from tests.areas.figures.beekeeper import beekeeper
from tests.areas.figures.fields import Figure
from tests.areas.marked_bodies import snowman
from tests.areas.small_meshes import ball, box


@pytest.fixture(scope="module")
def keeper() -> tuple[Figure, Analysis]:
    made = beekeeper(0.4)
    return made, Analysis(made.vertices, made.faces)


def test_three_balls_are_three_regions() -> None:
    sculpt, truth = snowman()
    analysis = Analysis(sculpt.vertices, sculpt.faces)
    regions = proposed(analysis, 3).of_face[analysis.standing_in]
    assert rand_index(regions, truth) > 0.98


def test_a_number_names_the_same_or_a_larger_region_in_a_coarser_proposal(
    keeper: tuple[Figure, Analysis],
) -> None:
    fine = proposed(keeper[1], 30).of_face
    for count in (4, 9, 16, 29):
        coarse = proposed(keeper[1], count).of_face
        for number in range(count):
            assert (coarse[fine == number] == number).all()


def test_a_split_region_falls_into_parts_and_leaves_the_others(
    keeper: tuple[Figure, Analysis],
) -> None:
    before = proposed(keeper[1], 8)
    after = proposed(keeper[1], 8, {"2": 3, "2b": 2})
    names = [region.name for region in after.regions]
    assert names == ["1", "2a", "2b1", "2b2", "2c", "3", "4", "5", "6", "7", "8"]
    parts = [k for k, name in enumerate(names) if name.startswith("2")]
    np.testing.assert_array_equal(np.isin(after.of_face, parts), before.of_face == 1)


def test_names_of_parts_sort_as_people_count() -> None:
    assert part_name("7", 1) == "7b"
    assert part_name("7b", 0) == "7b1"
    assert sorted(["12", "7b", "7", "7b2", "7b10"], key=in_order) == [
        "7", "7b", "7b2", "7b10", "12",
    ]  # fmt: skip


def test_regions_tell_size_width_and_neighbours(keeper: tuple[Figure, Analysis]) -> None:
    proposal = proposed(keeper[1], 16)
    total = sum(region.mm2 for region in proposal.regions)
    assert total == pytest.approx(float(keeper[1].surface.mm2.sum()))
    by_name = {region.name: region for region in proposal.regions}
    for region in proposal.regions:
        assert proposal.of_face[region.face] == int(region.name) - 1
        # No disc inside a region is wider than a disc of the region's own size by much.
        assert 0 < region.width_mm < 2.5 * np.sqrt(region.mm2)
        for other, mm in region.neighbours.items():
            assert by_name[other].neighbours[region.name] == pytest.approx(mm)


def test_most_of_a_figure_never_tuned_on_can_be_named(keeper: tuple[Figure, Analysis]) -> None:
    made, analysis = keeper
    regions = proposed(analysis, 16).of_face[analysis.standing_in]
    size = np.ones(len(made.faces))
    assert nameable_share(regions, made.area, size) > 0.85
    assert rand_index(regions, made.area) > 0.9


def test_a_groove_is_far_and_a_ridge_is_near() -> None:
    metric = Metric(1.0)
    flat, groove, ridge = metric.cost(np.full(3, 0.2), np.array([0.0, 2.0, -2.0]))
    assert flat == pytest.approx(0.2, rel=1e-5)
    assert groove > 1000 * flat
    assert ridge < 3 * flat


def test_moving_turning_and_scaling_change_costs_by_rounding_only() -> None:
    vertices, faces = ball((0, 0, 0), 9.0, 16)
    metric = Metric.of(vertices)
    one = surface_of(vertices, faces, metric)
    moved = surface_of(5 * vertices @ turn((1, 2, 3), 40.0).T + 11.0, faces,
                       Metric(metric.scale / 5))  # fmt: skip
    np.testing.assert_allclose(moved.cost, one.cost, rtol=2e-3)


def test_edges_of_a_box_are_convex() -> None:
    surface = surface_of(*box((0, 0, 0), (10, 12, 14)), Metric(1.0))
    assert (surface.bend <= 1e-9).all()


def test_a_spike_on_a_seam_is_smoothed_and_a_fixed_face_stays() -> None:
    left = np.array([0, 1, 2, 3, 4, 1, 2], np.int32)
    right = np.array([1, 2, 3, 4, 5, 6, 6], np.int32)
    labels = np.array([0, 0, 0, 1, 1, 1, 1], np.int32)
    fixed = np.zeros(7, bool)
    assert smoothed(labels, left, right, np.ones(7), fixed)[6] == 0
    fixed[6] = True
    assert smoothed(labels, left, right, np.ones(7), fixed)[6] == 1


def test_the_middle_of_a_region_is_in_sight_where_any_of_it_is() -> None:
    # A ball of one region, only the lower half of which is seen, then none of it.
    vertices, faces = ball((0, 0, 9), 9.0, 24)
    analysis = Analysis(vertices.astype(np.float32), faces.astype(np.int32))
    low = vertices[faces].mean(axis=1)[:, 2] < 9.0
    (any_side,) = proposed(analysis, 1).regions
    (hidden,) = proposed(analysis, 1, exposed=np.zeros(len(faces), np.bool_)).regions
    assert hidden.face == any_side.face
    for seen in (low, ~low):
        (region,) = proposed(analysis, 1, exposed=seen).regions
        assert (region.at[2] < 9.0) == seen[low].all()
        assert region.mm2 == any_side.mm2
