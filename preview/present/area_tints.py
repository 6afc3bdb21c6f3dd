"""A sculpt's areas as a picture: each tinted and labelled, neighbours apart in lightness."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from preview.areas.listing import areas_of
from preview.areas.sculpt import Sculpt
from preview.optics.srgb_iec61966 import linear_from_srgb8, srgb8_from_linear
from preview.paint.picture import gather_picture, on_backdrop
from preview.present.canvas import INK, PAPER, QUIET, Sheet, font
from preview.present.labels import Label, place_labels
from preview.present.tints import lightness_steps, part_picture, side_by_side, tints_of
from preview.present.words import placement_in_words
from preview.render.framing import around, framing
from preview.render.seen import Renderer, Seen

_SIDE, _MARGIN = 820, 50
# Room for names beside a picture.
_NARROWEST, _WIDEST = 210, 420
_LETTERS = 21
_AMBIENT = 0.45


def area_sheet(sculpt: Sculpt, renderer: Renderer) -> Image.Image:
    """Front and back of a sculpt with every visible area tinted, named and counted."""
    front = framing(sculpt.vertices, _SIDE, _SIDE, elevation_deg=15.0)
    views = around(front, (("front", 25.0), ("back", 205.0)))
    both = [renderer.see(view, 4) for view in views]
    tints = tint_of_area(sculpt, both)
    gutter = _gutter(sculpt.area_names)
    width = 2 * (_SIDE + 2 * gutter) + 2 * _MARGIN
    listed = -(-len(sculpt.area_names) // 4)
    sheet = Sheet.blank(width, _SIDE + 250 + 34 * listed)
    sheet.text((_MARGIN, 30), f"{sculpt.name}: areas", 38, strong=True, fit=width - 2 * _MARGIN)
    sheet.text((_MARGIN, 82), placement_in_words(sculpt), 20, ink=QUIET, fit=width - 2 * _MARGIN)
    for number, seen in enumerate(both):
        left = _MARGIN + number * (_SIDE + 2 * gutter) + gutter
        linear = tints[sculpt.area[seen.face]] * _form_light(sculpt, seen)[:, None]
        paper = np.asarray(linear_from_srgb8(np.array(PAPER, np.uint8)), dtype=np.float32)
        sheet.paste(on_backdrop(gather_picture(seen, linear), paper), (left, 120))
        for label in place_labels(seen, sculpt.area, sculpt.area_names, gutter):
            _draw_label(sheet, label, left, 120, gutter)
    _draw_list(sheet, sculpt, tints, (_MARGIN, _SIDE + 160), width - 2 * _MARGIN)
    return sheet.trimmed()


def tint_of_area(sculpt: Sculpt, pictures: Sequence[Seen]) -> NDArray[np.float32]:
    """(areas, 3) float32 linear sRGB: areas that meet in the pictures differ in lightness."""
    shown = [part_picture(seen, sculpt.area) for seen in pictures]
    beside = side_by_side(shown, len(sculpt.area_names))
    return tints_of(lightness_steps(beside), beside)


def _gutter(names: Sequence[str]) -> int:
    """How much room the longest name needs beside a picture."""
    widest = max(font(_LETTERS, True).getlength(name) for name in names)
    return min(_WIDEST, max(_NARROWEST, int(widest / 0.9) + 12))


def _form_light(sculpt: Sculpt, seen: Seen) -> NDArray[np.float32]:
    """A little light from the eye, so that the form shows through the tint."""
    towards = np.asarray(seen.view.axes()[2], dtype=np.float32)
    facing = np.abs(sculpt.normal[seen.face] @ towards)
    return np.asarray(_AMBIENT + (1.0 - _AMBIENT) * facing, dtype=np.float32)


def _draw_label(sheet: Sheet, label: Label, left: float, top: float, gutter: int) -> None:
    """An area's name in the gutter with a line to the area."""
    x, y = left + label.spot[0], top + label.spot[1]
    end, height = left + label.end_x, top + label.y
    anchor = "rm" if label.on_left else "lm"
    gap = -8 if label.on_left else 8
    sheet.draw.line((x, y, end, height), fill=INK, width=2)
    sheet.draw.ellipse((x - 4, y - 4, x + 4, y + 4), fill=INK)
    room = 0.9 * gutter
    sheet.text((end + gap, height), label.name, _LETTERS, strong=True, fit=room, anchor=anchor)


def _draw_list(
    sheet: Sheet, sculpt: Sculpt, tints: NDArray[np.float32], at: tuple[int, int], width: int
) -> None:
    """Every area with its tint, mm² and share, in four columns."""
    each = width / 4
    for number, row in enumerate(areas_of(sculpt)):
        x, y = at[0] + (number % 4) * each, at[1] + (number // 4) * 34
        red, green, blue = (int(v) for v in srgb8_from_linear(tints[number]))
        sheet.swatch((x, y, x + 26, y + 22), (red, green, blue), 4)
        words = f"{row.name}   {row.mm2:.1f} mm², {100 * row.share:.1f} %"
        sheet.text((x + 36, y), words, 19, fit=each - 50)
