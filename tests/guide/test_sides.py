"""The figure from four sides: letters on their areas."""

from __future__ import annotations

from preview.guide.guide import Guide
from preview.guide.sides import SIDE_PIXELS


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
