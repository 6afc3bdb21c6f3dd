"""A rack on the painters' circle: every paint by its name, neutrals apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PIL import Image

from preview.optics.spectrum import Floats
from preview.palette.standing import Standing
from preview.present.canvas import QUIET, Sheet, colour_from_hex, font
from preview.present.circle_dial import (
    Dial,
    chroma_limit,
    draw_dial,
    draw_dots,
    draw_leaders,
    write_hues,
)
from preview.present.labels import spaced
from preview.present.leaders import apart, uncrossed
from preview.present.palette_words import SIGNS, circle_notes, degrees_in_words
from preview.rack.paint import Rack

WIDTH, MARGIN = 2200, 60
_RADIUS, _BAND = 505.0, 52.0
_LINE, _LEAST_LINE = 34.0, 25.0
_TOP = 150
# Names begin and end this far from the middle of the page.
_COLUMN = 600.0
_CHIP = 18
_NEUTRALS_ACROSS, _NEUTRAL_LINE = 5, 62
_SIDES = ("warm", "cold", "neutral")
_LEGEND = (
    "The angle is the place on the painters' circle of red, yellow and blue; the way out is chroma "
    "(C*). Round dots stand by their own hue, square ones are browns and stand by the hue of their "
    "tint. h is CIELAB hue, for the circle crowds all cyans into one step. Dots that would cover "
    "one another stand a little apart.",
    "Heavy rim: the warm half. Double rim: the cold half. Within the ticks, 15° from a limit, a "
    "paint is borderline. ≈ marks an estimate from a swatch, ? an undertone that the swatch is too "
    "dark to show.",
)


def circle_sheet(rack: Rack, standings: Sequence[Standing]) -> Image.Image:
    """The circle of one rack.

    Parameters
    ----------
    standings : in the order in which neutrals shall be listed.
    """
    placed = [one for one in standings if one.place.side != "neutral"]
    neutrals = [one for one in standings if one.place.side == "neutral"]
    notes = [*_LEGEND, *circle_notes(standings)]
    line, tall = _room(placed)
    rows = -(-len(neutrals) // _NEUTRALS_ACROSS)
    sheet = Sheet.blank(WIDTH, round(_TOP + tall + 110 + rows * _NEUTRAL_LINE + 80 * len(notes)))
    _write_head(sheet, rack, standings)
    dial = Dial(
        (WIDTH / 2, _TOP + tall / 2),
        _RADIUS,
        _BAND,
        chroma_limit([one.place.chroma for one in placed]),
    )
    draw_dial(sheet.image, dial)
    _write_halves(sheet, dial)
    _draw_paints(sheet, dial, placed, line, tall)
    y = _TOP + tall + 20
    if neutrals:
        y = _draw_neutrals(sheet, neutrals, y)
    sheet.rule(y, MARGIN, WIDTH - MARGIN)
    y += 22
    for note in notes:
        y += sheet.paragraph((MARGIN, y), note, WIDTH - 2 * MARGIN, 19, ink=QUIET) + 4
    return sheet.trimmed()


@dataclass(frozen=True, eq=False)
class _Side:
    """The paints of one side of the page.

    spots : (paints, 2) their dots. way : -1 left, 1 right.
    """

    paints: Sequence[Standing]
    spots: Floats
    way: int


def _room(placed: Sequence[Standing]) -> tuple[float, float]:
    """The distance of names, and the height that the circle and its names need."""
    most = max(sum(one.place.side == side for one in placed) for side in ("warm", "cold"))
    tall = 2 * _RADIUS + 150
    line = min(_LINE, max(_LEAST_LINE, tall / max(most, 1)))
    return line, max(tall, line * most)


def _write_head(sheet: Sheet, rack: Rack, standings: Sequence[Standing]) -> None:
    """What the sheet shows."""
    inner = WIDTH - 2 * MARGIN
    title = rack.title or rack.name
    sheet.text((MARGIN, 42), title, 44, strong=True, fit=inner)
    counts = {side: sum(one.place.side == side for one in standings) for side in _SIDES}
    told = "   ·   ".join(f"{count} {side}" for side, count in counts.items())
    words = f"the painters' circle   ·   rack: {rack.name}   ·   {told}"
    sheet.text((MARGIN, 100), words, 21, ink=QUIET, fit=inner)


def _write_halves(sheet: Sheet, dial: Dial) -> None:
    """Warm and cold beside both limits."""
    x, y = dial.middle
    for way in (-1, 1):
        level = y + way * (dial.radius + 44)
        sheet.text((x - 14, level), "warm", 24, True, anchor="rm")
        sheet.text((x + 14, level), "cold", 24, True, anchor="lm")


def _draw_paints(
    sheet: Sheet, dial: Dial, placed: Sequence[Standing], line: float, tall: float
) -> None:
    """Dots, lines and names of all paints that have a hue."""
    size = 15.0 if len(placed) <= 30 else 11.0
    spots = dial.at([p.place.wheel_deg for p in placed], [p.place.chroma for p in placed])
    spots = apart(spots.reshape(-1, 2), 2 * size + 1.0)
    lines: list[tuple[Sequence[float], ...]] = []
    for way, side in ((-1, "warm"), (1, "cold")):
        own = [k for k, one in enumerate(placed) if one.place.side == side]
        if own:
            group = _Side([placed[k] for k in own], spots[own], way)
            lines += _write_names(sheet, group, line, tall)
    draw_leaders(sheet.image, lines)
    write_hues(sheet.image, dial)
    colours = [one.mix.srgb for one in placed]
    draw_dots(sheet.image, spots, colours, [one.tint is not None for one in placed], size)


def _write_names(
    sheet: Sheet, side: _Side, line: float, tall: float
) -> list[tuple[Sequence[float], ...]]:
    """The names of one side in a column, each with a chip; gives the lines to the dots."""
    end = WIDTH / 2 + side.way * _COLUMN
    heights = [_TOP + y for y in spaced(sorted(float(y) - _TOP for _, y in side.spots), tall, line)]
    spots = [(float(x), float(y)) for x, y in side.spots]
    lines: list[tuple[Sequence[float], ...]] = []
    for k, y in zip(uncrossed(spots, end, heights), heights, strict=True):
        one = side.paints[k]
        lines.append((spots[k], (end - side.way * 10, y), (end, y)))
        _write_name(sheet, one, end + side.way * 8, y, side.way)
    return lines


def _write_name(sheet: Sheet, one: Standing, x: float, y: float, way: int) -> None:
    """A chip, the paint's name and its numbers, away from the circle."""
    half = _CHIP / 2
    left = x if way > 0 else x - _CHIP
    sheet.swatch((left, y - half, left + _CHIP, y + half), colour_from_hex(one.mix.srgb), 3)
    anchor = "lm" if way > 0 else "rm"
    x += way * (_CHIP + 9)
    numbers = _numbers(one)
    room = WIDTH / 2 - MARGIN - abs(x - WIDTH / 2) - font(16).getlength(numbers) - 10
    width = sheet.text((x, y), one.name, 19, True, fit=room, anchor=anchor)
    sheet.text((x + way * (width + 10), y), numbers, 16, ink=QUIET, anchor=anchor)


def _numbers(one: Standing) -> str:
    """Hue and chroma, and how sure they are: "h 50° C* 54 ≈"."""
    more = " ?" if one.undertone_unknown else ""
    more += "" if one.mixes_as_pigments else " metallic"
    hue = degrees_in_words(one.hue_deg)
    return f"h {hue}  C* {one.place.chroma:.0f}  {SIGNS[one.certainty]}{more}"


def _draw_neutrals(sheet: Sheet, neutrals: Sequence[Standing], y: float) -> float:
    """The pots without a hue, light to dark; gives where they end."""
    sheet.text((MARGIN, y), "Neutral: chroma below 8, no place on the circle", 19, ink=QUIET)
    y += 40
    each = (WIDTH - 2 * MARGIN) / _NEUTRALS_ACROSS
    for number, one in enumerate(neutrals):
        left = MARGIN + (number % _NEUTRALS_ACROSS) * each
        top = y + (number // _NEUTRALS_ACROSS) * _NEUTRAL_LINE
        sheet.swatch((left, top, left + 44, top + 44), colour_from_hex(one.mix.srgb))
        sheet.text((left + 56, top), one.name, 19, True, fit=each - 70)
        numbers = f"L* {one.mix.lab[0]:.0f}  C* {one.place.chroma:.1f}  {SIGNS[one.certainty]}"
        sheet.text((left + 56, top + 24), numbers, 16, ink=QUIET)
    return y + -(-len(neutrals) // _NEUTRALS_ACROSS) * _NEUTRAL_LINE + 6
