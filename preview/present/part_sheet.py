"""A figure's numbered regions or named areas on paper, from as many sides as it takes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from preview.areas.sculpt import Sculpt
from preview.optics.srgb_iec61966 import linear_from_srgb8, srgb8_from_linear
from preview.paint.picture import gather_picture, on_backdrop
from preview.present.canvas import INK, PAPER, QUIET, RULE, Colour, Sheet, font
from preview.present.part_labels import Placed, Spot, deepest_spots, placed_labels
from preview.present.tints import lightness_steps, part_picture, side_by_side, tints_of
from preview.present.vantage import Scout, close_views, main_views
from preview.render.seen import Renderer, Seen
from preview.render.view import View
from preview.shape.threads import in_threads

SIDE = 760
_MARGIN, _TOP, _RULER, _FOOT = 56, 190, 30, 26
_ACROSS = 3
_AMBIENT = 0.5
_SEAM = 0.35
_TOO_SMALL = 11.0
_NARROWEST, _WIDEST = 48, 250
_TICK, _TICK_NAMED = 50, 100
_APART = 40.0


@dataclass(frozen=True)
class Row:
    """A line of the list under the pictures: a part's name and what is said of it."""

    name: str
    words: str


@dataclass(frozen=True)
class Dot:
    """A mark drawn on the figure: its place in mm and its part.

    between : it lies on a line between two places.
    """

    at: tuple[float, float, float]
    part: int
    between: bool = False


@dataclass(frozen=True, eq=False)
class PartSheet:
    """A finished sheet.

    image : the whole sheet.
    pictures : name of a view -> that view alone, in which a mark's pixels count.
    views : the same views' cameras.
    unseen : parts that no view shows.
    """

    image: Image.Image
    pictures: dict[str, Image.Image]
    views: list[View]
    unseen: tuple[int, ...]


def part_sheet(
    sculpt: Sculpt,
    scout: Scout,
    part_of_face: NDArray[np.int32],
    rows: Sequence[Row],
    places: NDArray[np.float64],
    renderer: Renderer,
    title: str,
    said: Sequence[str],
    dots: Sequence[Dot] = (),
    close: str = "close",
) -> PartSheet:
    """Draw every part of a figure tinted and named.

    Parameters
    ----------
    sculpt : the figure.
    scout : the same figure, or what stands in for it, to look for views with.
    part_of_face : (faces,) int32, index into rows.
    rows : the parts, in the order of their numbers.
    places : (parts, 3) mm, a place in the middle of each.
    renderer : of the same figure.
    title : at the top.
    said : lines under the title.
    dots : marks to draw.
    close : what close-ups are called, with a number behind.
    """
    count = len(rows)
    views = main_views(scout, SIDE)
    seen = list(in_threads(lambda view: renderer.see(view, 4), views))
    shown = [part_picture(one, part_of_face) for one in seen]
    spots = list(in_threads(lambda picture: deepest_spots(picture, count), shown))
    small = [
        k for k in np.unique(part_of_face).tolist()
        if max((s[k].depth for s in spots if k in s), default=0.0) < _TOO_SMALL
    ]  # fmt: skip
    for view in close_views(scout, small, places, views[0], close):
        views.append(view)
        seen.append(renderer.see(view, 4))
        shown.append(part_picture(seen[-1], part_of_face))
        spots.append(deepest_spots(shown[-1], count))
    beside = side_by_side(shown, count)
    tints = tints_of(lightness_steps(beside), beside)
    names = [row.name for row in rows]
    labels = [
        placed_labels(spots[k], names, _with_line(k, spots), SIDE, SIDE) for k in range(len(views))
    ]
    gutter = _gutter(labels)
    sheet = _paper(len(views), count, gutter, title, said)
    tinted = in_threads(
        lambda k: _tinted(sculpt, seen[k], part_of_face, tints, shown[k]), range(len(views))
    )
    pictures = {}
    for number, (one, picture) in enumerate(zip(seen, tinted, strict=True)):
        at = _corner(number, gutter)
        pictures[views[number].name] = Image.fromarray(picture)
        _draw_panel(sheet, views[number].name, picture, at)
        _draw_dots(sheet, one, dots, at)
        # Lines first: none may strike a name through.
        for label in sorted(labels[number], key=lambda label: label.side == 0):
            _draw_label(sheet, label, tints, at, gutter)
    _draw_list(sheet, rows, tints, _corner(-(-len(views) // _ACROSS) * _ACROSS, gutter)[1])
    visible = {part for each in spots for part in each}
    unseen = tuple(k for k in range(count) if k not in visible)
    return PartSheet(sheet.trimmed(), pictures, views, unseen)


def _with_line(number: int, spots: Sequence[dict[int, Spot]]) -> list[int]:
    """The parts that a picture names with a line if need be: those it shows best."""
    best: dict[int, tuple[float, int]] = {}
    for k, each in enumerate(spots):
        for part, spot in each.items():
            if part not in best or spot.depth > best[part][0]:
                best[part] = (spot.depth, k)
    second: dict[int, tuple[int, int]] = {}
    for k, each in enumerate(spots[:4]):
        for part, spot in each.items():
            if part not in second or spot.pixels > second[part][0]:
                second[part] = (spot.pixels, k)
    return [
        part for part in spots[number]
        if best[part][1] == number or second.get(part, (0, -1))[1] == number
    ]  # fmt: skip


def _gutter(labels: Sequence[Sequence[Placed]]) -> int:
    """How much room names need beside a picture."""
    beside = [label for each in labels for label in each if label.side]
    widest = max((font(label.size, True).getlength(label.words) for label in beside), default=0.0)
    return min(_WIDEST, max(_NARROWEST, int(widest) + 56))


def _paper(pictures: int, parts: int, gutter: int, title: str, said: Sequence[str]) -> Sheet:
    """The empty sheet with its heading."""
    across = min(_ACROSS, pictures)
    width = 2 * _MARGIN + across * (SIDE + 2 * gutter)
    down = -(-pictures // _ACROSS)
    listed = -(-parts // _columns(width))
    height = _TOP + down * (SIDE + _RULER + _FOOT + 24) + 34 * listed + 70
    sheet = Sheet.blank(width, height)
    sheet.text((_MARGIN, 34), title, 40, strong=True, fit=width - 2 * _MARGIN)
    for number, line in enumerate(said[:3]):
        sheet.text((_MARGIN, 92 + 28 * number), line, 21, ink=QUIET, fit=width - 2 * _MARGIN)
    return sheet


def _columns(width: int) -> int:
    """How many columns the list has."""
    return max(1, (width - 2 * _MARGIN) // 420)


def _corner(number: int, gutter: int) -> tuple[int, int]:
    """Where a picture's own top left corner lies on the sheet."""
    left = _MARGIN + (number % _ACROSS) * (SIDE + 2 * gutter) + gutter
    return left, _TOP + _RULER + (number // _ACROSS) * (SIDE + _RULER + _FOOT + 24)


def _tinted(
    sculpt: Sculpt,
    seen: Seen,
    part_of_face: NDArray[np.int32],
    tints: NDArray[np.float32],
    shown: NDArray[np.int32],
) -> NDArray[np.uint8]:
    """Flat tints with a little light from the eye and a dark line where parts meet."""
    towards = np.asarray(seen.view.axes()[2], dtype=np.float32)
    facing = np.abs(sculpt.normal[seen.face] @ towards)
    linear = tints[part_of_face[seen.face]] * (_AMBIENT + (1 - _AMBIENT) * facing)[:, None]
    paper = np.asarray(linear_from_srgb8(np.array(PAPER, np.uint8)), dtype=np.float32)
    picture = on_backdrop(gather_picture(seen, linear), paper)
    seam = np.zeros(shown.shape, np.bool_)
    seam[:, 1:] |= shown[:, 1:] != shown[:, :-1]
    seam[1:] |= shown[1:] != shown[:-1]
    picture[seam] = (picture[seam] * _SEAM).astype(np.uint8)
    return picture


def _draw_panel(sheet: Sheet, name: str, picture: NDArray[np.uint8], at: tuple[int, int]) -> None:
    """A picture with its name and rulers that count its pixels."""
    x, y = at
    sheet.paste(picture, at)
    sheet.draw.rectangle((x - 1, y - 1, x + SIDE, y + SIDE), outline=RULE, width=1)
    sheet.text((x, y + SIDE + 6), name, 24, strong=True)
    for tick in range(0, SIDE + 1, _TICK):
        long = 8 if tick % _TICK_NAMED == 0 else 4
        sheet.draw.line((x + tick, y - long, x + tick, y), fill=QUIET, width=1)
        sheet.draw.line((x - long, y + tick, x, y + tick), fill=QUIET, width=1)
        if tick % _TICK_NAMED == 0:
            sheet.text((x + tick, y - 9), str(tick), 13, ink=QUIET, anchor="ms")
            if tick:
                sheet.text((x - 10, y + tick), str(tick), 13, ink=QUIET, anchor="rm")


def _draw_dots(sheet: Sheet, seen: Seen, dots: Sequence[Dot], at: tuple[int, int]) -> None:
    """The marks that a picture shows: places as rings, and lines between places under them."""
    if not dots:
        return
    depth = np.full(seen.view.width * seen.view.height, np.inf)
    np.minimum.at(depth, seen.pixel, seen.depth)
    xy, deep = seen.view.project(np.array([dot.at for dot in dots]))
    shown = [
        k
        for k, ((x, y), far) in enumerate(zip(xy.tolist(), deep.tolist(), strict=True))
        if 0 <= x < SIDE and 0 <= y < SIDE
        and far <= depth[int(y) * SIDE + int(x)] + 4.0 * seen.view.mm_per_pixel
    ]  # fmt: skip
    places = [(at[0] + x, at[1] + y) for x, y in xy.tolist()]
    between = [k for k in shown if dots[k].between]
    for wide, ink in ((7, PAPER), (3, INK)):
        for k in between:
            _draw_round(sheet, places[k], wide / 2, ink)
        for k, after in pairwise(between):
            # Dots of one line follow one another; another line begins elsewhere.
            if after == k + 1 and math.dist(places[k], places[after]) <= _APART:
                sheet.draw.line((*places[k], *places[after]), fill=ink, width=wide)
    for k in shown:
        if not dots[k].between:
            _draw_round(sheet, places[k], 6, PAPER, INK)
            _draw_round(sheet, places[k], 2, INK)


def _draw_round(
    sheet: Sheet,
    middle: tuple[float, float],
    radius: float,
    ink: Colour,
    outline: Colour | None = None,
) -> None:
    """A filled circle."""
    x, y = middle
    box = (x - radius, y - radius, x + radius, y + radius)
    sheet.draw.ellipse(box, fill=ink, outline=outline, width=2)


def _draw_label(
    sheet: Sheet, label: Placed, tints: NDArray[np.float32], at: tuple[int, int], gutter: int
) -> None:
    """A name inside its part, or beside the picture with a line to it."""
    x, y = at[0] + label.at[0], at[1] + label.at[1]
    if label.side == 0:
        ink, halo = _ink_on(tints[label.part])
        sheet.halo_text((x, y), label.words, label.size, ink, halo)
        return
    spot = (at[0] + label.spot[0], at[1] + label.spot[1])
    sheet.draw.line((*spot, x, y), fill=PAPER, width=5)
    sheet.draw.line((*spot, x, y), fill=INK, width=2)
    sheet.draw.ellipse((spot[0] - 5, spot[1] - 5, spot[0] + 5, spot[1] + 5), fill=INK,
                       outline=PAPER, width=1)  # fmt: skip
    anchor = "rm" if label.side < 0 else "lm"
    end = (x + 4 * label.side, y)
    sheet.halo_text(end, label.words, label.size, INK, PAPER, anchor, gutter - 44)


def _ink_on(tint: NDArray[np.float32]) -> tuple[Colour, Colour]:
    """Letters and their halo on a tint: dark on light, light on dark."""
    light = float(tint @ np.array([0.2126, 0.7152, 0.0722])) > 0.22
    return (INK, PAPER) if light else (PAPER, INK)


def _draw_list(sheet: Sheet, rows: Sequence[Row], tints: NDArray[np.float32], top: int) -> None:
    """Every part with its tint and what is said of it."""
    width = sheet.image.width
    columns = _columns(width)
    each = (width - 2 * _MARGIN) / columns
    for number, row in enumerate(rows):
        x = _MARGIN + (number % columns) * each
        y = top - _RULER + 6 + (number // columns) * 34
        red, green, blue = (int(v) for v in srgb8_from_linear(tints[number]))
        sheet.swatch((x, y, x + 28, y + 22), (red, green, blue), 4)
        wide = sheet.text((x + 38, y - 2), row.name, 21, strong=True, fit=0.5 * each)
        sheet.text((x + 48 + wide, y), row.words, 18, ink=QUIET, fit=each - wide - 70)
