"""Text and drops stay where there is room for them."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from preview.present.canvas import PAPER, Sheet, font, shorten, wrap
from preview.present.labels import _spaced


def test_shortened_words_fit() -> None:
    words = "a very long name of an area that nobody would give"
    shown = shorten(words, 150, 20)
    assert shown.endswith("…")
    assert font(20).getlength(shown) <= 150
    assert shorten("belt", 150, 20) == "belt"


def test_wrapped_lines_fit_and_keep_every_word() -> None:
    words = "raise the strap's mid-tone by about twelve steps of lightness"
    lines = wrap(words, 160, 18)
    assert " ".join(lines) == words
    assert all(font(18).getlength(line) <= 160 for line in lines)


def test_drops_stay_in_their_room_however_many() -> None:
    for count in (1, 5, 9, 10, 250):
        sheet = Sheet.blank(400, 60)
        sheet.drops((10, 10), [((200, 40, 30), count), ((20, 60, 120), 3)], width=300)
        inked = np.argwhere(np.any(np.asarray(sheet.image) != PAPER, axis=2))
        assert inked[:, 1].max() <= 312


def test_labels_keep_their_order_and_distance() -> None:
    places = _spaced([10.0, 11.0, 12.0, 390.0, 399.0], 400.0)
    assert places == sorted(places)
    assert min(b - a for a, b in pairwise(places)) >= 33.9
    assert places[0] >= 0
    assert places[-1] <= 400
