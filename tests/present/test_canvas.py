"""Text and drops stay where there is room for them."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from preview.present.canvas import PAPER, Sheet, edge_of, font, shorten, wrap
from preview.present.labels import spaced


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


def test_a_word_longer_than_a_line_is_broken() -> None:
    lines = wrap("bladderwrack green", 84, 15)
    assert all(font(15).getlength(line) <= 84 for line in lines)
    assert "".join(lines).replace("-", "").replace(" ", "") == "bladderwrackgreen"
    assert wrap("m", 1, 15) == ["m"]


def test_drops_stay_in_their_room_however_many() -> None:
    for count in (1, 5, 9, 10, 250):
        sheet = Sheet.blank(400, 60)
        sheet.drops((10, 10), [((200, 40, 30), count), ((20, 60, 120), 3)], width=300)
        inked = np.argwhere(np.any(np.asarray(sheet.image) != PAPER, axis=2))
        assert inked[:, 1].max() <= 312


def test_labels_keep_their_order_and_distance() -> None:
    places = spaced([10.0, 11.0, 12.0, 390.0, 399.0], 400.0, 34.0)
    assert places == sorted(places)
    assert min(b - a for a, b in pairwise(places)) >= 33.9
    assert places[0] >= 0
    assert places[-1] <= 400


def test_a_dab_of_a_mix_looks_unlike_a_drop_of_a_pot() -> None:
    def drawn(mark: str) -> np.ndarray:
        sheet = Sheet.blank(40, 40)
        sheet.drops((10, 10), [((200, 120, 90), 1)], width=30, marks=[mark])
        return np.asarray(sheet.image)

    pot, dab = drawn(""), drawn("M")
    covered = [np.any(picture != PAPER, axis=2) for picture in (pot, dab)]
    corners = covered[1] & ~covered[0]
    assert corners.sum() > 40
    inside = np.any(dab != (200, 120, 90), axis=2)[14:26, 12:23]
    assert inside.sum() > 10
    assert (drawn("M") != drawn("S")).any()


def test_the_outline_of_every_patch_is_darker_than_its_fill() -> None:
    for fill in ((20, 20, 24), (120, 90, 60), (240, 238, 230)):
        sheet = Sheet.blank(60, 60)
        sheet.swatch((10.4, 10.6, 40.2, 30.7), fill, 0)
        picture = np.asarray(sheet.image)
        assert tuple(picture[20, 10]) == tuple(picture[20, 40]) == edge_of(fill)
        assert tuple(picture[11, 25]) == tuple(picture[31, 25]) == edge_of(fill)
        assert sum(edge_of(fill)) < sum(fill)


def test_a_trimmed_page_has_as_much_air_below_as_above() -> None:
    sheet = Sheet.blank(200, 400)
    sheet.text((20, 30), "one line", 20)
    sheet.text((20, 90), "another", 20)
    rows = np.flatnonzero(np.any(np.asarray(sheet.trimmed()) != PAPER, axis=(1, 2)))
    assert rows[0] == sheet.trimmed().height - 1 - rows[-1]
    assert len(np.flatnonzero(np.any(np.asarray(sheet.image) != PAPER, axis=(1, 2)))) == len(rows)
    assert Sheet.blank(20, 30).trimmed().height == 30
