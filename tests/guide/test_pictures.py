"""The pictures of the guide: letters on their areas, each area alone."""

from __future__ import annotations

import numpy as np

from preview.guide.guide import Guide
from preview.guide.pictures import SIDE_PIXELS


def test_every_area_in_sight_has_one_letter_a_side(guide: Guide) -> None:
    assert [side.name for side in guide.sides] == ["front", "left", "back", "right"]
    for side in guide.sides:
        letters = [letter.letter for letter in side.letters]
        assert sorted(letters) == sorted(guide.letters.values())
        for letter in side.letters:
            assert min(letter.at) >= 0
            assert max(letter.at) <= SIDE_PIXELS
            x, y = letter.spot
            # The spot is on the figure, not on the paper.
            assert side.picture[int(y), int(x)].min() < 250


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
