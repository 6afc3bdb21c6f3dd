"""A sculpt's areas as a picture: each tinted and labelled, neighbours apart in lightness."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from preview.areas.listing import areas_of
from preview.areas.sculpt import Sculpt
from preview.optics.appearance import linear_srgb_from_lab
from preview.optics.srgb_iec61966 import linear_from_srgb8, srgb8_from_linear
from preview.paint.picture import gather_picture, on_backdrop
from preview.present.canvas import INK, PAPER, QUIET, Sheet
from preview.present.labels import Label, area_picture, place_labels
from preview.present.words import placement_in_words
from preview.render.framing import around, framing
from preview.render.seen import Renderer, Seen

_SIDE, _MARGIN, _GUTTER = 820, 50, 210
# Tints in four steps of lightness; hues differ too, but lightness alone tells neighbours apart.
_LIGHTNESS = (88.0, 70.0, 52.0, 36.0)
_CHROMA = 26.0
_AMBIENT = 0.45
# The golden angle keeps hues apart however many there are.
_HUE_STEP_DEG = 137.508


def area_sheet(sculpt: Sculpt, renderer: Renderer) -> Image.Image:
    """Front and back of a sculpt with every visible area tinted, named and counted."""
    front = framing(sculpt.vertices, _SIDE, _SIDE, elevation_deg=15.0)
    views = around(front, (("front", 25.0), ("back", 205.0)))
    both = [renderer.see(view, 4) for view in views]
    tints = tint_of_area(sculpt, both)
    width = 2 * (_SIDE + 2 * _GUTTER) + 2 * _MARGIN
    listed = -(-len(sculpt.area_names) // 4)
    sheet = Sheet.blank(width, _SIDE + 250 + 34 * listed)
    sheet.text((_MARGIN, 30), f"{sculpt.name}: areas", 38, strong=True, fit=width - 2 * _MARGIN)
    sheet.text((_MARGIN, 82), placement_in_words(sculpt), 20, ink=QUIET, fit=width - 2 * _MARGIN)
    for number, seen in enumerate(both):
        left = _MARGIN + number * (_SIDE + 2 * _GUTTER) + _GUTTER
        linear = tints[sculpt.area[seen.face]] * _form_light(sculpt, seen)[:, None]
        paper = np.asarray(linear_from_srgb8(np.array(PAPER, np.uint8)), dtype=np.float32)
        sheet.paste(on_backdrop(gather_picture(seen, linear), paper), (left, 120))
        for label in place_labels(seen, sculpt.area, sculpt.area_names, _GUTTER):
            _draw_label(sheet, label, left, 120)
    _draw_list(sheet, sculpt, tints, (_MARGIN, _SIDE + 160), width - 2 * _MARGIN)
    return sheet.image


def tint_of_area(sculpt: Sculpt, pictures: Sequence[Seen]) -> NDArray[np.float32]:
    """(areas, 3) float32 linear sRGB: areas that meet in the pictures differ in lightness.

    Each area takes the lightness that its finished neighbours use least, the largest area first;
    with four to choose from, few neighbours ever share one.
    """
    count = len(sculpt.area_names)
    beside = _meet_in_pictures(sculpt, pictures)
    size = np.bincount(sculpt.area, weights=sculpt.mm2, minlength=count)
    step = np.full(count, -1)
    for area in np.argsort(-size, kind="stable"):
        done = step >= 0
        used = np.bincount(step[done], weights=beside[area, done], minlength=len(_LIGHTNESS))
        step[area] = int(np.argmin(used))
    hue = np.arange(count) * _HUE_STEP_DEG
    return np.stack([_tint(_LIGHTNESS[s], h) for s, h in zip(step, hue, strict=True)])


def _meet_in_pictures(sculpt: Sculpt, pictures: Sequence[Seen]) -> NDArray[np.float64]:
    """(areas, areas): along how many pixels two areas lie side by side."""
    count = len(sculpt.area_names)
    beside = np.zeros((count, count))
    for seen in pictures:
        shown = area_picture(seen, sculpt.area)
        for one, other in ((shown[1:], shown[:-1]), (shown[:, 1:], shown[:, :-1])):
            meet = (one != other) & (one >= 0) & (other >= 0)
            np.add.at(beside, (one[meet], other[meet]), 1.0)
    return beside + beside.T


def _tint(lightness: float, hue_deg: float) -> NDArray[np.float32]:
    """Linear sRGB of a CIELAB colour of moderate chroma, kept inside the display's range."""
    angle = np.radians(hue_deg)
    lab = np.array([lightness, _CHROMA * np.cos(angle), _CHROMA * np.sin(angle)])
    return np.asarray(np.clip(linear_srgb_from_lab(lab), 0.0, 1.0), dtype=np.float32)


def _form_light(sculpt: Sculpt, seen: Seen) -> NDArray[np.float32]:
    """A little light from the eye, so that the form shows through the tint."""
    towards = np.asarray(seen.view.axes()[2], dtype=np.float32)
    facing = np.abs(sculpt.normal[seen.face] @ towards)
    return np.asarray(_AMBIENT + (1.0 - _AMBIENT) * facing, dtype=np.float32)


def _draw_label(sheet: Sheet, label: Label, left: float, top: float) -> None:
    """An area's name in the gutter with a line to the area."""
    x, y = left + label.spot[0], top + label.spot[1]
    end, height = left + label.end_x, top + label.y
    anchor = "rm" if label.on_left else "lm"
    gap = -8 if label.on_left else 8
    sheet.draw.line((x, y, end, height), fill=INK, width=2)
    sheet.draw.ellipse((x - 4, y - 4, x + 4, y + 4), fill=INK)
    sheet.text((end + gap, height), label.name, 21, strong=True, fit=_GUTTER - 20, anchor=anchor)


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
