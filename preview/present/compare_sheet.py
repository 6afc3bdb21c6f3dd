"""Several schemes on one sculpt, a column each: same cameras, same light."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from preview.judge.compared import Compared, ranked
from preview.optics.appearance import hex_from_reflectance
from preview.present.canvas import INK, QUIET, RULE, Sheet, colour_from_hex, wrap
from preview.present.palette import pot_colours, ramps_in_use
from preview.ramp.levels import step_reflectance

COLUMN, _GAP, _MARGIN = 460, 24, 50
_SWATCH_ROW, _CONDITION_ROW = 30, 46


def compare_sheet(
    compared: Sequence[Compared], pictures: Sequence[Sequence[NDArray[np.uint8]]]
) -> Image.Image:
    """One sheet with a column per scheme.

    Parameters
    ----------
    pictures : per scheme its views and the first of them in values, each (COLUMN, COLUMN, 3).
    """
    places = {index: place for place, index in enumerate(ranked(compared), start=1)}
    rows = max(len(ramps_in_use(c.painted)) for c in compared)
    seen = max(len(c.every_verdict) for c in compared)
    width = 2 * _MARGIN + len(compared) * COLUMN + (len(compared) - 1) * _GAP
    stack = len(pictures[0]) * (COLUMN + 12)
    titles = [one.painted.scheme.title for one in compared]
    top = 180 if _one_line(titles) else 206
    sheet = Sheet.blank(
        width, top + 10 + stack + 134 + 30 + rows * _SWATCH_ROW + 150 + seen * _CONDITION_ROW
    )
    sheet.text((_MARGIN, 34), "Options side by side", 38, strong=True)
    first = compared[0].painted
    line = (
        f"{first.sculpt.name}, {first.sculpt.placement.height_mm:.0f} mm tall; same cameras, "
        f"same painted light: {first.rig.name}"
    )
    sheet.text((_MARGIN, 86), line, 20, ink=QUIET, fit=width - 2 * _MARGIN)
    for number, (one, shown) in enumerate(zip(compared, pictures, strict=True)):
        x = _MARGIN + number * (COLUMN + _GAP)
        size = 28 if _one_line(titles) else 22
        sheet.paragraph((x, 134), titles[number], COLUMN, size, most_lines=2, strong=True)
        _draw_column(sheet, one, shown, (x, top), rows, f"{places[number]} of {len(compared)}")
    return sheet.trimmed()


def _one_line(titles: Sequence[str]) -> bool:
    """Whether every title fits above its column; else all are smaller and may take two lines."""
    return all(len(wrap(title, COLUMN, 28, strong=True)) == 1 for title in titles)


def _draw_column(
    sheet: Sheet,
    one: Compared,
    shown: Sequence[NDArray[np.uint8]],
    at: tuple[float, float],
    rows: int,
    place: str,
) -> None:
    """Pictures, pots, ramps and how it reads."""
    scheme = one.painted.scheme
    x, y = at
    for picture in shown:
        sheet.paste(picture, (round(x), round(y)))
        y += COLUMN + 12
    y += 10
    each = COLUMN / max(len(scheme.pots), 4)
    for number, (name, colour) in enumerate(pot_colours(scheme).items()):
        left = x + number * each
        sheet.draw.ellipse((left, y, left + 44, y + 44), fill=colour, outline=QUIET, width=2)
        sheet.paragraph((left, y + 50), name, each - 8, 15, ink=QUIET, most_lines=3)
    y += 124
    for ramp, _ in ramps_in_use(one.painted):
        sheet.text((x, y), ramp.name, 17, fit=COLUMN * 0.34)
        left = x + COLUMN * 0.36
        wide = (COLUMN - COLUMN * 0.36) / len(ramp.steps)
        for number, look in enumerate(step_reflectance(ramp, scheme.primer.reflectance)):
            box = (left + number * wide, y - 2, left + (number + 1) * wide - 3, y + 22)
            sheet.swatch(box, colour_from_hex(hex_from_reflectance(look)), 0)
        y += _SWATCH_ROW
    y += (rows - len(ramps_in_use(one.painted))) * _SWATCH_ROW + 16
    _draw_verdict(sheet, one, x, y, place)


def _draw_verdict(sheet: Sheet, one: Compared, x: float, y: float, place: str) -> None:
    """How much of the borders reads under each of the conditions, and the weakest pairs."""
    if one.lowest_share is None:
        sheet.text((x, y), "No neighbouring areas to tell apart.", 18, fit=COLUMN)
        return
    sheet.text((x, y), f"Readability: place {place}", 19, strong=True, fit=COLUMN)
    y += 32
    for verdict in one.every_verdict:
        share = verdict.readable_share or 0.0
        head = f"{100 * share:.0f} % of border length reads at {verdict.conditions.name}"
        sheet.text((x, y), head, 18, fit=COLUMN)
        sheet.draw.rectangle((x, y + 27, x + COLUMN, y + 35), fill=RULE)
        sheet.draw.rectangle((x, y + 27, x + COLUMN * share, y + 35), fill=INK)
        y += _CONDITION_ROW
    for number, pair in enumerate(one.verdict.counted[:3]):
        words = f"{pair.grade.word}: {pair.name}"
        sheet.text((x, y + 6 + number * 27), words, 18, ink=QUIET, fit=COLUMN)
