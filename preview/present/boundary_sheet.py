"""The map of borders from several sides, over its key and the weakest pairs."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from PIL import Image, ImageDraw

from preview.judge.grades import Grade
from preview.judge.verdict import MINOR_ARCMIN, Pair, Verdict
from preview.present.boundary_map import MapView, badge, draw_map, letters_of
from preview.present.canvas import PAPER, QUIET, Sheet, wrap
from preview.present.pens import MINOR_PEN, PENS, Pen, draw_line

_MARGIN, _GAP, _TOP = 60, 40, 150
_KEY_COLUMNS, _KEY_ROW, _ROW = 4, 36, 36
_MOST_ROWS, _AIR = 14, 12
_SAMPLE = 84
_SIDES_AROUND = (
    "front",
    "front left",
    "left",
    "back left",
    "back",
    "back right",
    "right",
    "front right",
)
_UNITS_ROW = 24
# Small drawings are made so many times larger and shrunk, so that their edges are smooth.
_FINE = 4


def boundary_sheet(
    views: Sequence[MapView],
    verdict: Verdict,
    title: str,
    azimuths_deg: Sequence[float] = (),
) -> Image.Image:
    """The sheet of maps under one of the conditions.

    Parameters
    ----------
    views : of the same size.
    verdict : whose grades are drawn.
    azimuths_deg : of the views that were judged; a listed pair that no map shows is said to be
        seen from the one that shows most of it.
    """
    maps = _cropped([draw_map(view, verdict) for view in views])
    letters = letters_of(views[0].sculpt)
    every = verdict.below(Grade.READABLE)
    weak = every[:_MOST_ROWS]
    width = 2 * _MARGIN + sum(m.width for m in maps) + _GAP * (len(maps) - 1)
    inner = width - 2 * _MARGIN
    key = _KEY_ROW * -(-len(letters) // _KEY_COLUMNS)
    height = _TOP + maps[0].height + 60 + 92 + _UNITS_ROW + key + 80 + _ROW * max(len(weak), 1) + 40
    sheet = Sheet.blank(width, height)
    sheet.text((_MARGIN, 30), title, 36, strong=True, fit=inner)
    for number, words in enumerate(wrap(verdict.summary, inner, 20)[:2]):
        sheet.text((_MARGIN, 84 + 28 * number), words, 20, ink=QUIET)
    x = _MARGIN
    for picture, view in zip(maps, views, strict=True):
        sheet.image.paste(picture, (x, _TOP))
        name = view.seen.view.name
        sheet.text(
            (x + picture.width / 2, _TOP + picture.height + 6), name, 19, ink=QUIET, anchor="ma"
        )
        x += picture.width + _GAP
    y = float(_TOP + maps[0].height + 60)
    _draw_legend(sheet, verdict, y, inner)
    _draw_units(sheet, y + 66, inner)
    y += 92 + _UNITS_ROW
    for number, (name, letter) in enumerate(letters.items()):
        left = _MARGIN + (number % _KEY_COLUMNS) * inner / _KEY_COLUMNS
        top = y + _KEY_ROW * (number // _KEY_COLUMNS)
        _paste_badge(sheet, (left + 14, top + 12), letter)
        sheet.text((left + 38, top), name, 20, fit=inner / _KEY_COLUMNS - 50)
    y += key + 20
    sheet.rule(y, _MARGIN, width - _MARGIN)
    if weak:
        elsewhere = {p.name: _best_side(p, azimuths_deg) for p in weak if not _is_shown(views, p)}
        _draw_weak(sheet, letters, weak, elsewhere, y + 18, inner)
    else:
        sheet.text((_MARGIN, y + 18), nothing_weak(verdict), 21, fit=inner)
    if len(every) > len(weak):
        words = f"and {len(every) - len(weak)} more, in the report"
        sheet.text((_MARGIN, height - 40), words, 19, ink=QUIET)
    return sheet.trimmed()


def _cropped(maps: Sequence[Image.Image]) -> list[Image.Image]:
    """The maps without the empty rows above and below that all of them have."""
    rows = [np.flatnonzero((np.asarray(m) != np.asarray(PAPER)).any(axis=(1, 2))) for m in maps]
    top = max(0, min(int(r[0]) for r in rows if len(r)) - _AIR)
    bottom = min(maps[0].height, max(int(r[-1]) for r in rows if len(r)) + _AIR)
    return [m.crop((0, top, m.width, bottom)) for m in maps]


def _draw_legend(sheet: Sheet, verdict: Verdict, y: float, inner: float) -> None:
    """Each grade's line with how many pairs have it, worst first."""
    counted = verdict.counted
    each = inner / len(PENS)
    for number, (grade, pen) in enumerate(PENS.items()):
        x = _MARGIN + number * each
        _paste_line(sheet, (x, y + 14.0), pen)
        sheet.text((x + _SAMPLE + 16, y), grade.word, 21, strong=True)
        pairs = [pair for pair in counted if pair.grade is grade]
        length = sum(pair.lengths.visible_mm for pair in pairs)
        shown = f"{length:.0f} mm" if length >= 1.0 or not pairs else "below 1 mm"
        words = f"{len(pairs)} pair{'' if len(pairs) == 1 else 's'}, {shown}"
        sheet.text((x + _SAMPLE + 16, y + 29), words, 17, ink=QUIET, fit=each - _SAMPLE - 20)


def _draw_units(sheet: Sheet, y: float, inner: float) -> None:
    """The line of pairs too short to judge, and what the lengths are."""
    _paste_line(sheet, (_MARGIN, y + 12.0), MINOR_PEN)
    words = (
        f"too short in sight to judge (nowhere over {MINOR_ARCMIN:g}′).   Lengths are "
        "whole borders by their pair's grade; the share above counts each stretch by itself."
    )
    left = _MARGIN + _SAMPLE + 16
    sheet.text((left, y), words, 17, ink=QUIET, fit=inner - _SAMPLE - 16)


def _is_shown(views: Sequence[MapView], pair: Pair) -> bool:
    """Whether any of the maps draws a pair's border."""
    both = {pair.part, pair.ground}
    return any(
        {view.sculpt.area_names[line.first], view.sculpt.area_names[line.second]} == both
        for view in views
        for line in view.lines
    )


def _best_side(pair: Pair, azimuths_deg: Sequence[float]) -> str:
    """From where most of a pair's border is seen, in words."""
    if not azimuths_deg:
        return "not in these views"
    best = int(np.argmax(pair.lengths.by_view_mm))
    return f"seen from the {side_in_words(azimuths_deg[best])}"


def side_in_words(azimuth_deg: float) -> str:
    """The figure's side that faces a view, such as "front left"; its left is at 90 degrees."""
    return _SIDES_AROUND[round(azimuth_deg / 45.0) % 8]


def _draw_weak(
    sheet: Sheet,
    letters: Mapping[str, str],
    weak: Sequence[Pair],
    elsewhere: Mapping[str, str],
    y: float,
    inner: float,
) -> None:
    """The weak pairs, the weakest first, each with its line and why it is weak."""
    for pair in weak:
        _paste_line(sheet, (_MARGIN, y + 13.0), PENS[pair.grade])
        _paste_badge(sheet, (_MARGIN + _SAMPLE + 28, y + 13), letters[pair.part])
        _paste_badge(sheet, (_MARGIN + _SAMPLE + 60, y + 13), letters[pair.ground])
        left = _MARGIN + _SAMPLE + 88
        sheet.text((left, y), pair.name, 20, fit=0.22 * inner)
        left += round(0.23 * inner)
        words = why_weak(pair)
        if pair.name in elsewhere:
            words = f"{words}; {elsewhere[pair.name]}"
        sheet.text((left, y), words, 19, ink=QUIET, fit=_MARGIN + inner - left)
        y += _ROW


def nothing_weak(verdict: Verdict) -> str:
    """Why the list is empty: all is well, or there is nothing to list."""
    if verdict.counted:
        return "Every pair of neighbours reads."
    return verdict.summary if verdict.pairs else " ".join(verdict.notes[:1]) or verdict.summary


def _paste_line(sheet: Sheet, at: tuple[float, float], pen: Pen) -> None:
    """A sample of a pen from a place to the right."""
    size = (_SAMPLE + 8, 20)
    large = Image.new("RGB", (size[0] * _FINE, size[1] * _FINE), PAPER)
    line = np.array([[6.0, 10.0], [float(_SAMPLE), 10.0]]) * _FINE
    draw_line(ImageDraw.Draw(large), line, pen, _FINE)
    sheet.image.paste(large.reduce(_FINE), (round(at[0]), round(at[1] - 10.0)))


def _paste_badge(sheet: Sheet, at: tuple[float, float], letter: str) -> None:
    """A letter's badge around a place."""
    side = 30
    large = Image.new("RGB", (side * _FINE, side * _FINE), PAPER)
    badge(ImageDraw.Draw(large), (0.5 * side * _FINE, 0.5 * side * _FINE), letter, _FINE)
    place = (round(at[0] - 0.5 * side), round(at[1] - 0.5 * side))
    sheet.image.paste(large.reduce(_FINE), place)


def why_weak(pair: Pair) -> str:
    """What a pair lacks, in a few words with numbers."""
    size = f"{pair.width_mm:.2f} mm wide ({pair.width_arcmin:.1f}′)"
    above = math.floor(10.0 * pair.visibility) / 10.0  # never rounded up to the next grade
    figures = f"{above:.1f} × threshold, ΔL* {pair.step:.1f} after blur, {size}"
    role = "; seen as an accent, shape not readable" if pair.accent else ""
    return f"{pair.grade.word}{role}: {figures}"
