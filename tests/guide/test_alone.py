"""Each area alone: its paint, ghosts around it, letters where shadow and highlight sit."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import trimesh

from preview.flow import Stand, paint_sculpt
from preview.guide.alone import area_views
from preview.guide.guide import Guide
from tests.sculpts import sculpt_of


def test_an_area_alone_shows_its_paint_and_ghosts(guide: Guide) -> None:
    assert set(guide.alone) == set(guide.letters)
    view = guide.alone["post"]
    colourful = np.ptp(view.picture.astype(int), axis=2) > 12
    assert 0.02 < colourful.mean() < 0.9
    groups = {mark.group for mark in view.marks}
    assert groups == {"shadow", "highlight"}
    at = {mark.group: mark.y for mark in view.marks}
    # Light falls from above.
    assert at["highlight"] < at["shadow"]
    assert guide.alone["ground left bare"].marks == ()


def test_letters_stand_beside_the_picture_apart_from_each_other(guide: Guide) -> None:
    for view in guide.alone.values():
        heights = sorted(mark.at for mark in view.marks)
        assert all(0 <= at <= 1 for at in heights)
        assert all(b - a >= 0.159 for a, b in pairwise(heights))


@pytest.mark.parametrize(("gap", "whole"), [(40.0, False), (5.5, True)])
def test_of_pieces_far_apart_the_largest_is_shown(scheme_of, gap: float, whole: bool) -> None:
    # Two balls of 3 mm and 2 mm, in one area; those that nearly touch are shown together.
    balls = [
        trimesh.creation.icosphere(subdivisions=3, radius=r).apply_translation((0, 0, z))
        for r, z in ((3.0, 0.0), (2.0, gap))
    ]
    both = trimesh.util.concatenate(balls)
    area = np.zeros(len(both.faces), dtype=int)
    stand = Stand(sculpt_of(both.vertices, both.faces, area, ("plain",)), "scan")
    view = area_views(stand, paint_sculpt(stand, scheme_of("midtone = { warm = 1 }")))["plain"]
    assert view.whole is whole
    shown = np.flatnonzero((view.picture.min(axis=2) < 200).any(axis=1))
    share = (shown[-1] + 1 - shown[0]) / len(view.picture)
    if whole:
        # All of it from 3 mm below to 7.5 mm above, with a quarter of air.
        assert share == pytest.approx(1 / 1.25, abs=0.03)
    else:
        # 6 mm in a picture of no less than 0.22 of 45 mm.
        assert share == pytest.approx(6 / (0.22 * 45), abs=0.03)
