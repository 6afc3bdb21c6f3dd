"""How few numbers, marks and shapes name most of a figure, for a painter who knows the truth."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.areas.simulated_user import paint_by_marks
from tests.areas.solids import as_one_solid, figure_named


@pytest.mark.outside_meshes
@pytest.mark.parametrize("name", ["king", "witch"])
def test_game_figures_take_at_most_a_third_more_with_all_that_a_marks_file_offers(
    name: str, outside_mesh: Callable[[str], Path]
) -> None:
    outside_mesh(f"q_{name.capitalize()}.glb")
    figure = figure_named(name)
    assert figure is not None
    solid, areas = as_one_solid(figure), len(figure.area_names)
    session = paint_by_marks(solid, figure.area, figure.area_names, 16, 21, 0.95, shapes=True)
    assert (session.actions_to(0.90) or 99) <= 1.3 * 1.2 * areas
    assert (session.actions_to(0.95) or 99) <= 1.3 * 1.6 * areas
