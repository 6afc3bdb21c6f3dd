"""Each paint of a rack with its three opposites, side by side so that nobody confuses them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PIL import Image

from preview.palette.opposites import Across, Neutralised, Opposites
from preview.palette.standing import Standing
from preview.present.canvas import QUIET, Sheet, colour_from_hex, font
from preview.present.palette_words import neutral_in_words, verdict_in_words
from preview.rack.paint import Rack

WIDTH, MARGIN = 2000, 60
_ROWS_A_PAGE = 36
_ROW, _CHIP = 46, 32
# Where the columns begin: the paint, across the circle, across in CIELAB, and the mix.
_COLUMNS = (MARGIN, 370, 720, 1070)
_MIX_SWATCH = 1390
# Room for a name behind its chip, with its note.
_NAME = 262.0

_LEGEND = (
    "Across the circle is what painters teach; across in CIELAB is what a colorimeter says; the "
    "most neutral mix is the complement at the desk. They are seldom the same paint. ° off: how "
    "far from exactly opposite.",
    "Drops of the paint at the left, then of the other. C* is the colour that is left in their "
    "most neutral mix, h the hue of that rest. Up to C* 8 they are complements, up to 15 nearly. "
    "An estimate rests on swatches alone, and its C* may come out 10 too high.",
)


def opposites_sheets(
    rack: Rack, standings: Sequence[Standing], opposites: Sequence[Opposites]
) -> list[Image.Image]:
    """The opposites of one rack, on as many pages as they need; none when no paint has a hue."""
    starts = range(0, len(opposites), _ROWS_A_PAGE)
    return [
        _page(rack, standings, opposites[start : start + _ROWS_A_PAGE], number, len(starts))
        for number, start in enumerate(starts, start=1)
    ]


def _page(
    rack: Rack, standings: Sequence[Standing], rows: Sequence[Opposites], number: int, pages: int
) -> Image.Image:
    """One page."""
    by_name = {one.name: one for one in standings}
    sheet = Sheet.blank(WIDTH, 420 + _ROW * len(rows))
    inner = WIDTH - 2 * MARGIN
    sheet.text((MARGIN, 42), "Three opposites", 44, strong=True)
    page = f"   ·   page {number} of {pages}" if pages > 1 else ""
    sheet.text((MARGIN, 100), f"rack: {rack.name}{page}", 21, ink=QUIET, fit=inner)
    heads = ("paint", "across the circle", "across in CIELAB", "most neutral mix")
    for x, words in zip(_COLUMNS, heads, strict=True):
        sheet.text((x, 158), words, 19, ink=QUIET)
    y = 194.0
    sheet.rule(y - 8, MARGIN, WIDTH - MARGIN)
    for row in rows:
        _draw_row(sheet, by_name, row, y)
        y += _ROW
    sheet.rule(y + 8, MARGIN, WIDTH - MARGIN)
    y += 30
    for words in _LEGEND:
        y += sheet.paragraph((MARGIN, y), words, inner, 19, ink=QUIET) + 4
    return sheet.trimmed()


def _draw_row(sheet: Sheet, by_name: Mapping[str, Standing], row: Opposites, y: float) -> None:
    """One paint and its three opposites."""
    _draw_paint(sheet, by_name[row.name], _COLUMNS[0], y, strong=True)
    for x, across in zip(_COLUMNS[1:3], (row.circle, row.cielab), strict=True):
        _draw_across(sheet, by_name, across, x, y)
    if row.mixing is None:
        metallic = not by_name[row.name].mixes_as_pigments
        why = "not predicted: metallic" if metallic else "none: no mix is greyer than both pots"
        sheet.text((_COLUMNS[3], y + _ROW / 2), why, 18, ink=QUIET, anchor="lm")
    else:
        _draw_mix(sheet, by_name, by_name[row.name], row.mixing, y)


def _draw_paint(
    sheet: Sheet, one: Standing, x: float, y: float, note: str = "", strong: bool = False
) -> None:
    """A chip, the name, and a note behind it."""
    top = y + (_ROW - _CHIP) / 2
    sheet.swatch((x, top, x + _CHIP, top + _CHIP), colour_from_hex(one.mix.srgb))
    room = _NAME - (font(16).getlength(note) + 10 if note else 0.0)
    width = sheet.text((x + _CHIP + 12, y + _ROW / 2), one.name, 19, strong, fit=room, anchor="lm")
    if note:
        sheet.text((x + _CHIP + 22 + width, y + _ROW / 2), note, 16, ink=QUIET, anchor="lm")


def _draw_across(
    sheet: Sheet, by_name: Mapping[str, Standing], across: Across | None, x: float, y: float
) -> None:
    """The paint that stands across, and how far from exactly."""
    if across is None:
        sheet.text((x, y + _ROW / 2), "none on the other side", 18, ink=QUIET, anchor="lm")
    else:
        note = f"{across.off_deg:.0f}° off"
        _draw_paint(sheet, by_name[across.name], x, y, note)


def _draw_mix(
    sheet: Sheet,
    by_name: Mapping[str, Standing],
    one: Standing,
    mixing: Neutralised,
    y: float,
) -> None:
    """The paint that takes the colour away, the mix, its drops and what is left."""
    other, neutral = by_name[mixing.name], mixing.neutral
    _draw_paint(sheet, other, _COLUMNS[3], y)
    top = y + (_ROW - _CHIP) / 2
    box = (_MIX_SWATCH, top - 3, _MIX_SWATCH + 90, top + _CHIP + 3)
    sheet.swatch(box, colour_from_hex(neutral.mix.srgb))
    counts = [
        (colour_from_hex(pot.mix.srgb), n)
        for pot, n in zip((one, other), neutral.drops, strict=True)
    ]
    sheet.drops((_MIX_SWATCH + 104, y + 13), counts, 190)
    x = _MIX_SWATCH + 304
    sheet.text((x, y + 4), neutral_in_words(neutral), 17)
    sheet.text((x, y + 24), verdict_in_words(neutral), 16, ink=QUIET)
