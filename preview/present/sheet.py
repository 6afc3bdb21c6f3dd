"""The scheme on one sheet: four views, the pots, each ramp with its drops, what is an estimate."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from preview.paint.painted import Painted
from preview.present.canvas import QUIET, Sheet
from preview.present.palette import POT_HEIGHT, RAMP_HEIGHT, draw_pots, draw_ramps, ramps_in_use
from preview.present.words import certainty_in_words, figure_in_words

WIDTH, MARGIN = 2000, 60
_VIEW_GAP = 16


def view_pixels(count: int = 4) -> int:
    """The side in pixels of each of `count` views on the sheet."""
    return (WIDTH - 2 * MARGIN - (count - 1) * _VIEW_GAP) // count


def scheme_sheet(
    painted: Painted, views: Sequence[tuple[str, NDArray[np.uint8]]], reads: str
) -> Image.Image:
    """The sheet of one painted sculpt.

    Parameters
    ----------
    views : (name, square picture of `view_pixels` pixels) each.
    reads : how it reads at the table, in one line.
    """
    pots_rows = -(-len(painted.scheme.pots) // 5)
    ramp_rows = -(-len(ramps_in_use(painted)) // 2)
    side = view_pixels(len(views))
    height = 150 + side + 60 + 60 + pots_rows * POT_HEIGHT + 70 + ramp_rows * RAMP_HEIGHT + 130
    sheet = Sheet.blank(WIDTH, height)
    inner = WIDTH - 2 * MARGIN

    sheet.text((MARGIN, 42), painted.scheme.title, 44, strong=True, fit=inner)
    sheet.text((MARGIN, 100), figure_in_words(painted), 21, ink=QUIET, fit=inner)

    y = 146
    for number, (name, picture) in enumerate(views):
        x = MARGIN + number * (side + _VIEW_GAP)
        sheet.paste(picture, (x, y))
        sheet.text((x + side / 2, y + side + 10), name, 19, ink=QUIET, anchor="ma")
    y += side + 52

    sheet.rule(y, MARGIN, WIDTH - MARGIN)
    y += 22
    y += draw_pots(sheet, painted, (MARGIN, y), inner)
    sheet.rule(y + 12, MARGIN, WIDTH - MARGIN)
    y += 40
    y += draw_ramps(sheet, painted, (MARGIN, y), inner)

    sheet.rule(y, MARGIN, WIDTH - MARGIN)
    y += 20
    sheet.text((MARGIN, y), reads, 20, fit=inner)
    sheet.text((MARGIN, y + 32), certainty_in_words(painted), 19, ink=QUIET, fit=inner)
    legend = (
        "A round drop is one drop of a pot; a square dab is one drop of a mix made before in the "
        "same ramp: D deep, S shadow, M mid-tone, H highlight. "
        "Percentages are shares of the area."
    )
    sheet.text((MARGIN, y + 60), legend, 19, ink=QUIET, fit=inner)
    return sheet.trimmed()
