"""The figure in values alone: L* greys from four views, and each area on a ladder of L*."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from preview.optics.cie1976_lab import lightness_from_y, y_from_lightness
from preview.optics.srgb_iec61966 import srgb8_from_linear
from preview.paint.painted import Painted
from preview.present.canvas import INK, QUIET, RULE, Colour, Sheet
from preview.present.sheet import MARGIN, WIDTH, view_pixels

_ROW, _LADDER_TOP = 40, 96
_NAME_WIDTH = 260


def value_sheet(painted: Painted, views: Sequence[tuple[str, NDArray[np.uint8]]]) -> Image.Image:
    """The value sheet of one painted sculpt.

    Parameters
    ----------
    views : (name, square grey picture of `view_pixels` pixels, (side, side, 3) uint8) each.
    """
    side, areas = view_pixels(len(views)), len(painted.coverage)
    sheet = Sheet.blank(WIDTH, 110 + side + 60 + _LADDER_TOP + areas * _ROW + 60)
    title = f"{painted.scheme.title}: value"
    sheet.text((MARGIN, 40), title, 40, strong=True, fit=WIDTH - 2 * MARGIN)
    y = 106
    for number, (name, picture) in enumerate(views):
        x = MARGIN + number * (side + 16)
        sheet.paste(picture, (x, y))
        sheet.text((x + side / 2, y + side + 10), name, 19, ink=QUIET, anchor="ma")
    _draw_ladder(sheet, painted, y + side + 60)
    return sheet.trimmed()


def grey_of_lightness(lightness: float) -> Colour:
    """The sRGB grey of an L* from 0 to 100."""
    code = int(srgb8_from_linear(y_from_lightness(lightness)))
    return code, code, code


def _draw_ladder(sheet: Sheet, painted: Painted, top: float) -> None:
    """A bar per area from its darkest to its lightest tone, mid-tone marked, by L*."""
    at = _place_of_lightness
    sheet.text((MARGIN, top), "value of each area, L*", 22, strong=True)
    bottom = top + _LADDER_TOP + len(painted.coverage) * _ROW
    for mark in range(0, 101, 10):
        sheet.draw.line((at(mark), top + 66, at(mark), bottom), fill=RULE, width=1)
        sheet.text((at(mark), top + 40), str(mark), 17, ink=QUIET, anchor="ma")
    order = np.argsort([-_middle(painted, k) for k in range(len(painted.coverage))], kind="stable")
    for number, area in enumerate(order):
        y = top + _LADDER_TOP - 18 + number * _ROW
        name = painted.coverage[area].area
        sheet.text((MARGIN, y), name, 19, fit=_NAME_WIDTH - 20)
        low, high = _range(painted, int(area))
        _draw_bar(sheet, low, high, y)
        middle = at(_middle(painted, int(area)))
        sheet.draw.line((middle, y - 4, middle, y + 28), fill=INK, width=4)


def _place_of_lightness(lightness: float) -> float:
    """Where an L* lies across the sheet."""
    left, right = MARGIN + _NAME_WIDTH, WIDTH - MARGIN - 40
    return left + (right - left) * lightness / 100.0


def _draw_bar(sheet: Sheet, low: float, high: float, y: float) -> None:
    """A bar that shows the greys it spans."""
    at = _place_of_lightness
    steps = np.linspace(low, max(high, low + 0.5), 25)
    for dark, light in pairwise(steps):
        box = (at(dark), y + 2, at(light) + 1, y + 24)
        sheet.draw.rectangle(box, fill=grey_of_lightness(float(dark + light) / 2))
    sheet.draw.rectangle((at(low), y + 2, at(max(high, low + 0.5)), y + 24), outline=QUIET, width=1)


def _range(painted: Painted, area: int) -> tuple[float, float]:
    """Lowest and highest L* of an area's ramp."""
    lightness = lightness_from_y(painted.table.luminance[area])
    return float(lightness.min()), float(lightness.max())


def _middle(painted: Painted, area: int) -> float:
    """L* of an area's mid-tone."""
    return float(painted.midtone_lab()[area, 0])
