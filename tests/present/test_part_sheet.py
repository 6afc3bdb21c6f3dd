"""Sheets of regions: numbers legible, tints apart in lightness, every part in some view."""

from __future__ import annotations

import numpy as np
import pytest

from preview.areas.analysis.analysis import Analysis
from preview.areas.analysis.regions import proposed
from preview.present.part_labels import deepest_spots, placed_labels
from preview.present.part_sheet import Row, part_sheet
from preview.present.tints import LIGHTNESS, lightness_steps, tints_of
from preview.present.vantage import Scout
from preview.render.scan import ScanRenderer
from tests.areas.figures.beekeeper import beekeeper
from tests.areas.marked_bodies import snowman


def test_neighbouring_regions_differ_in_lightness() -> None:
    made = beekeeper(0.45)
    proposal = proposed(Analysis(made.vertices, made.faces), 24)
    number = {region.name: k for k, region in enumerate(proposal.regions)}
    beside = np.zeros((len(number), len(number)))
    for region in proposal.regions:
        for other, mm in region.neighbours.items():
            beside[number[region.name], number[other]] = mm
    step = lightness_steps(beside)
    one, other = np.nonzero(beside > 0.5)
    assert (np.abs(np.array(LIGHTNESS)[step[one]] - np.array(LIGHTNESS)[step[other]]) >= 12).all()


def test_a_number_stands_in_the_middle_of_a_large_part_and_beside_a_small_one() -> None:
    shown = np.full((200, 200), -1, np.int32)
    shown[20:180, 20:120] = 0
    shown[90:98, 150:158] = 1
    spots = deepest_spots(shown, 3)
    assert set(spots) == {0, 1}
    labels = {label.part: label for label in placed_labels(spots, ["1", "2", "3"], [1], 200, 200)}
    assert labels[0].side == 0
    assert shown[int(labels[0].at[1]), int(labels[0].at[0])] == 0
    assert labels[0].size >= 24
    assert labels[1].side != 0
    assert shown[int(labels[1].spot[1]), int(labels[1].spot[0])] == 1
    assert labels[1].size >= 24


def test_names_beside_a_picture_do_not_cover_each_other() -> None:
    shown = np.full((400, 400), -1, np.int32)
    for part in range(8):
        shown[100 + 8 * part : 104 + 8 * part, 300:304] = part
    names = [str(k + 1) for k in range(8)]
    labels = placed_labels(deepest_spots(shown, 8), names, range(8), 400, 400)
    for side in (-1, 1):
        heights = sorted(label.at[1] for label in labels if label.side == side)
        assert len(heights) < 2 or np.diff(heights).min() >= 37.9


def test_a_part_without_faces_gets_no_close_up() -> None:
    sculpt, ball = snowman(0.8)
    renderer = ScanRenderer(sculpt.vertices, sculpt.faces)
    rows = [Row(name, "") for name in ("belly", "chest", "head", "none")]
    places = np.array([(0.0, -8.0, 8.0), (0.0, -5.6, 19.0), (0.0, -3.6, 26.5), (0.0, 0.0, 0.0)])
    scout = Scout(sculpt.vertices, ball, 4, renderer)
    sheet = part_sheet(sculpt, scout, ball, rows, places, renderer, "snowman", [])
    assert not any(view.name.startswith("close") for view in sheet.views)
    assert sheet.unseen == (3,)


@pytest.mark.parametrize("parts", [1, 2, 5])
def test_as_many_lightnesses_as_needed(parts: int) -> None:
    steps = lightness_steps(np.ones((parts, parts)) - np.eye(parts))
    assert len(set(steps.tolist())) == parts


def test_parts_beside_each_other_differ_in_hue_as_well() -> None:
    # The first and the ninth hue of the golden angle nearly agree.
    beside = np.zeros((9, 9))
    beside[0, 8] = beside[8, 0] = 10.0
    same = np.zeros(9, np.int64)
    far = np.linalg.norm(np.diff(tints_of(same, beside)[[0, 8]], axis=0))
    near = np.linalg.norm(np.diff(tints_of(same, np.zeros((9, 9)))[[0, 8]], axis=0))
    assert far > 1.5 * near
