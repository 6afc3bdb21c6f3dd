"""The PDF: page sizes, fonts, text, margins, whole cards, the same bytes."""

from __future__ import annotations

import ctypes
import re

import pypdfium2 as pdfium
import pypdfium2.raw as raw
import pytest

from preview.guide.guide import Guide
from preview.guide.paper import guide_pdf
from preview.guide.words import guide_in_words
from preview.settings import PAPERS
from tests.guide.conftest import NAMES

POINTS_PER_MM = 72 / 25.4
# A4 is 210 mm x 297 mm (ISO 216), letter 8.5 in x 11 in (ANSI size A, ASME Y14.1); from memory.
SIZES = {"a4": (210 * POINTS_PER_MM, 297 * POINTS_PER_MM), "letter": (612.0, 792.0)}
# Printers leave a border of some millimetres blank (common practice, no source).
BLANK_MM = 8.0


@pytest.fixture(scope="module", params=PAPERS)
def paper(request: pytest.FixtureRequest) -> str:
    """Every paper."""
    return str(request.param)


@pytest.fixture(scope="module")
def document(guide: Guide, paper: str) -> pdfium.PdfDocument:
    """The guide on that paper."""
    return pdfium.PdfDocument(guide_pdf(guide, paper))


def _texts(document: pdfium.PdfDocument) -> list[str]:
    """The text of every page without breaks, and without hyphens that may stand at breaks."""
    return [
        re.sub(r"[\s\u200b\ufffe\ufeff-]+", "", page.get_textpage().get_text_range())
        for page in document
    ]


def _joined(words: str) -> str:
    return re.sub(r"[\s\u200b-]+", "", words)


def test_pages_have_the_size_of_the_paper(document: pdfium.PdfDocument, paper: str) -> None:
    assert len(document) >= 7
    for page in document:
        assert page.get_size() == pytest.approx(SIZES[paper], abs=0.01)


def test_all_fonts_are_ours_and_embedded(document: pdfium.PdfDocument) -> None:
    fonts = set()
    for page in document:
        for thing in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT]):
            font = raw.FPDFTextObj_GetFont(thing.raw)
            assert raw.FPDFFont_GetIsEmbedded(font) == 1
            size = raw.FPDFFont_GetBaseFontName(font, None, 0)
            buffer = ctypes.create_string_buffer(size)
            raw.FPDFFont_GetBaseFontName(font, buffer, size)
            fonts.add(buffer.value.decode())
    assert fonts
    assert all("Inter" in name for name in fonts)


def test_text_can_be_taken_out_in_order(document: pdfium.PdfDocument, guide: Guide) -> None:
    whole = "".join(_texts(document))
    words = guide_in_words(guide)
    expected = [words["title"], "Thepots", "Inthisorderonthefigure"]
    expected += ["Beforeyoustart", *words["cautions"], "Mixing", "Recipecards"]
    expected += [card["said"] for c in words["cards"][:1] for card in c["steps"]]
    expected += ["Whatthepotsmake,twobytwo", "Howfartotrustthis", *words["notes"]]
    at = 0
    for sentence in expected:
        found = whole.find(_joined(sentence), at)
        assert found >= 0, sentence
        at = found
    assert _joined(words["print"]) in whole


def test_nothing_stands_in_the_margin(document: pdfium.PdfDocument) -> None:
    blank = BLANK_MM * POINTS_PER_MM
    for page in document:
        width, height = page.get_size()
        for thing in page.get_objects(max_depth=1):
            left, bottom, right, top = thing.get_bounds()
            if thing.type == raw.FPDF_PAGEOBJ_TEXT and right > left:
                assert left >= blank
                assert bottom >= blank
                assert right <= width - blank
                assert top <= height - blank


def test_every_page_says_which_it_is_and_of_how_many(document: pdfium.PdfDocument) -> None:
    for number, text in enumerate(_texts(document), start=1):
        assert f"Signalpost{number}/{len(document)}" in text


def test_a_card_stands_on_one_page(document: pdfium.PdfDocument, guide: Guide) -> None:
    texts = _texts(document)
    for card in guide_in_words(guide)["cards"]:
        place = _joined(f"{card['place']} on the figure")
        pages = [text for text in texts if _joined(card["name"]) + place in text]
        assert len(pages) == 1, card["name"]
        for step in card["steps"]:
            assert _joined(step["said"]) in pages[0]
            assert _joined(step["words"]) in pages[0]


def test_every_area_and_pot_is_named(document: pdfium.PdfDocument, guide: Guide) -> None:
    texts = _texts(document)
    assert all(_joined(name) in texts[0] for name in NAMES)
    for pot in guide_in_words(guide)["pots"]:
        assert _joined(pot["name"]) in texts[1]
        assert _joined(pot["words"]) in texts[1]


def test_the_same_guide_gives_the_same_bytes(guide: Guide) -> None:
    assert guide_pdf(guide, "a4") == guide_pdf(guide, "a4")


def _filled(page: pdfium.PdfPage) -> float:
    """The share of a page's height, within its margins, down to the lowest thing but its foot."""
    height = page.get_size()[1]
    foot = 20 * POINTS_PER_MM
    low = min(b for t in page.get_objects(max_depth=1) if (b := t.get_bounds()[1]) > foot)
    return (height - low) / (height - foot)


def test_pages_are_filled(document: pdfium.PdfDocument) -> None:
    # All but the last, which ends where the guide ends. The card of nine steps takes a page alone,
    # and so the one before it may end where the mixes end.
    filled = [_filled(page) for page in document][:-1]
    assert sum(share > 0.7 for share in filled) >= len(filled) - 1


def test_swatches_are_large_enough_to_hold_paint_against(
    document: pdfium.PdfDocument, guide: Guide
) -> None:
    # At least 35 mm by 17 mm; a card of nine steps is made smaller to stand on its page.
    large = 0
    for page in document:
        for thing in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
            left, bottom, right, top = thing.get_bounds()
            wide, high = (right - left) / POINTS_PER_MM, (top - bottom) / POINTS_PER_MM
            large += 35 <= wide <= 60 and high >= 17
    steps = sum(len(card["steps"]) for card in guide_in_words(guide)["cards"])
    assert large >= steps
