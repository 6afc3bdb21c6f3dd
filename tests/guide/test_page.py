"""The page: one file, well formed, the same words as on paper."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest

from preview.guide.guide import Guide
from preview.guide.page import guide_page
from preview.guide.words import guide_in_words

VOID = {"meta", "br", "img", "link", "input", "hr"}


class _Checker(HTMLParser):
    """Keeps the open elements, every address and all text."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.addresses: list[str] = []
        self.text: list[str] = []
        self.count: dict[str, int] = {}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.count[tag] = self.count.get(tag, 0) + 1
        self.addresses += [v or "" for k, v in attrs if k in ("src", "href", "xlink:href")]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text.append(data)


@pytest.fixture(scope="module")
def page(guide: Guide) -> str:
    """The guide as a page."""
    return guide_page(guide)


@pytest.fixture(scope="module")
def checked(page: str) -> _Checker:
    """The page, read."""
    reader = _Checker()
    reader.feed(page)
    reader.close()
    return reader


def test_every_element_is_closed(checked: _Checker) -> None:
    assert checked.open == []
    assert checked.count["main"] == checked.count["h1"] == 1


def test_nothing_is_fetched(page: str, checked: _Checker) -> None:
    assert checked.addresses
    assert all(address.startswith("data:image/webp;base64,") for address in checked.addresses)
    assert not re.search(r"https?:|url\(|@import|<script|<link", page)


def test_it_has_every_picture_card_and_word(checked: _Checker, guide: Guide) -> None:
    words = guide_in_words(guide)
    assert checked.count["article"] == len(words["cards"])
    assert checked.count["image"] == len(guide.sides) + len(guide.alone)
    text = " ".join(checked.text)
    for card in words["cards"]:
        assert card["name"] in text
        for step in card["steps"]:
            assert step["words"] in text
            assert step["said"] in text
    for caution in words["cautions"]:
        assert caution in text


def test_names_cannot_break_the_page(guide: Guide) -> None:
    from dataclasses import replace

    sculpt = guide.amounts.painted.sculpt
    nasty = ('<b>"x"&', *sculpt.area_names[1:])
    renamed = replace(sculpt, area_names=nasty)
    painted = replace(guide.amounts.painted, sculpt=renamed)
    letters = {nasty[0] if k == sculpt.area_names[0] else k: v for k, v in guide.letters.items()}
    alone = {nasty[0] if k == sculpt.area_names[0] else k: v for k, v in guide.alone.items()}
    laid = tuple(
        replace(row, area=nasty[0]) if row.area == sculpt.area_names[0] else row
        for row in guide.amounts.laid
    )
    amounts = replace(guide.amounts, painted=painted, laid=laid)
    page = guide_page(replace(guide, amounts=amounts, letters=letters, alone=alone))
    assert "<b>&quot;x" not in page.replace("&lt;b&gt;&quot;x&quot;&amp;", "")
    assert "&lt;b&gt;&quot;x&quot;&amp;" in page
    _Checker().feed(page)
