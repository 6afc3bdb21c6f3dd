"""What counts as brown, pale, neutral or a colour."""

from __future__ import annotations

import numpy as np
import pytest

from preview.optics.srgb_iec61966 import lab_from_hex
from preview.palette.kinds import best_pale, is_brown, kind_of


@pytest.mark.parametrize(
    ("srgb", "kind"),
    [
        ("#553d2b", "brown"),
        ("#8a6238", "colour"),  # too colourful for a brown
        ("#b4572b", "colour"),
        ("#25425f", "colour"),
        ("#e6dcc4", "pale"),
        ("#f4f3ee", "pale"),
        ("#808080", "neutral"),
        ("#29292c", "neutral"),
        ("#ffff00", "colour"),  # light, but far from white
    ],
)
def test_kinds_by_their_looks(srgb: str, kind: str) -> None:
    assert kind_of(lab_from_hex(srgb)) == kind


def test_browns_of_many_colours_are_the_browns_of_each() -> None:
    lab = np.random.default_rng(5).uniform([0, -40, -40], [100, 40, 40], (4, 50, 3))
    together = is_brown(lab)
    assert together.any()
    for k in np.ndindex(4, 50):
        assert together[k] == bool(is_brown(lab[k]))


def test_an_off_white_comes_before_a_pure_white_and_a_pure_white_before_none() -> None:
    white, cream, red = (lab_from_hex(text) for text in ("#f5f5f2", "#e6dcc4", "#b03030"))
    assert best_pale([red, white, cream]) == 2
    assert best_pale([red, white]) == 1
    assert best_pale([red]) is None
