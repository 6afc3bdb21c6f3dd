"""How few numbers and growing marks name most of a figure, for a painter who knows the truth."""

from __future__ import annotations

from preview.areas.load import load_sculpt
from preview.shipped import shipped
from tests.areas.simulated_user import paint_by_marks
from tests.areas.solids import as_one_solid, figure_named


def test_the_keeper_takes_fewer_actions_than_areas_to_nine_tenths() -> None:
    figure = load_sculpt(shipped("meshes", "keeper.glb"))
    solid, areas = as_one_solid(figure), len(figure.area_names)
    session = paint_by_marks(solid, figure.area, figure.area_names, 16, 26, 0.95)
    assert (session.actions_to(0.90) or 99) <= 1.2 * areas
    assert (session.actions_to(0.95) or 99) <= 1.6 * areas


def test_a_figure_never_tuned_on_takes_at_most_a_third_more() -> None:
    figure = figure_named("fiddler")
    assert figure is not None
    solid, areas = as_one_solid(figure), len(figure.area_names)
    session = paint_by_marks(solid, figure.area, figure.area_names, 16, 28, 0.95)
    assert (session.actions_to(0.90) or 99) <= 1.3 * 1.2 * areas
    assert (session.actions_to(0.95) or 99) <= 1.3 * 1.6 * areas
