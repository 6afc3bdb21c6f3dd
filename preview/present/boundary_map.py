"""The figure in quiet greys with every border drawn in its grade, and a letter on each area."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from preview.areas.sculpt import Sculpt
from preview.judge.verdict import Verdict
from preview.optics.srgb_iec61966 import srgb8_from_linear
from preview.present.border_lines import BorderLine, border_lines
from preview.present.canvas import INK, PAPER, font
from preview.present.labels import area_picture
from preview.present.pens import MINOR_PEN, PENS, Pen, draw_line
from preview.render.seen import Seen

_SCALE = 2
_BADGE, _LETTER = 13.0, 17
_LEAST_PIXELS = 30
# Linear light of the quiet figure, turned away from the eye and facing it.
_DIM, _PALE = 0.30, 0.74


@dataclass(frozen=True, eq=False)
class MapView:
    """One view of a sculpt prepared for maps: its borders as lines, its areas' middles.

    seen : one sample a pixel.
    """

    sculpt: Sculpt
    seen: Seen

    @cached_property
    def label(self) -> NDArray[np.int32]:
        """(rows, columns) area of each pixel, -1 beside the figure or on a hidden face."""
        area = np.where(self.sculpt.exposed, self.sculpt.area, -1).astype(np.int32)
        return area_picture(self.seen, area)

    @cached_property
    def quiet(self) -> Image.Image:
        """The figure in pale greys, twice as large as the view, so that lines come out smooth."""
        grey = _quiet_figure(self)
        size = (grey.width * _SCALE, grey.height * _SCALE)
        return grey.resize(size, Image.Resampling.BILINEAR)

    @cached_property
    def lines(self) -> list[BorderLine]:
        """The borders."""
        return border_lines(self.label)

    @cached_property
    def middles(self) -> dict[int, tuple[float, float, float]]:
        """Area -> x, y of the pixel deepest inside it, and how deep."""
        from scipy import ndimage

        found = {}
        boxes = ndimage.find_objects(np.maximum(self.label + 1, 0))
        for area, box in enumerate(boxes):
            if box is None:
                continue
            mask = np.pad(self.label[box] == area, 1)
            if mask.sum() < _LEAST_PIXELS:
                continue
            depth = ndimage.distance_transform_edt(mask)[1:-1, 1:-1]
            row, column = (int(v) for v in np.unravel_index(int(depth.argmax()), depth.shape))
            x, y = column + box[1].start + 0.5, row + box[0].start + 0.5
            found[area] = (x, y, float(depth[row, column]))
        return found


def letters_of(sculpt: Sculpt) -> dict[str, str]:
    """Area -> its letter, the largest area first: A to Z, then AA, AB and so on."""
    size = np.bincount(sculpt.area, weights=sculpt.mm2, minlength=len(sculpt.area_names))
    order = np.argsort(-size, kind="stable")
    return {sculpt.area_names[area]: _letter(k) for k, area in enumerate(order)}


def _letter(number: int) -> str:
    """A, B ... Z, AA, AB ..."""
    first, last = divmod(number, 26)
    return (chr(64 + first) if first else "") + chr(65 + last)


def draw_map(view: MapView, verdict: Verdict) -> Image.Image:
    """The figure with its borders in their grades and a letter on each area."""
    pens = pen_of(verdict)
    image = view.quiet.copy()
    draw = ImageDraw.Draw(image)
    names = view.sculpt.area_names
    # The loudest last, so that no quiet line covers one.
    order = sorted(view.lines, key=lambda line: pens.get(_pair(line, names), MINOR_PEN).width)
    for line in order:
        pen = pens.get(_pair(line, names), MINOR_PEN)
        draw_line(draw, line.points * _SCALE, pen, _SCALE)
    _draw_letters(draw, view)
    return image.reduce(_SCALE)


def badge(
    draw: ImageDraw.ImageDraw, at: tuple[float, float], letter: str, scale: float = 1.0
) -> None:
    """A letter on a pale disc."""
    x, y = at
    radius = _BADGE * scale
    draw.ellipse(
        (x - radius, y - radius, x + radius, y + radius),
        fill=PAPER,
        outline=INK,
        width=max(1, round(1.2 * scale)),
    )
    size = round((_LETTER if len(letter) == 1 else 0.75 * _LETTER) * scale)
    draw.text((x, y), letter, fill=INK, font=font(size, True), anchor="mm")


def pen_of(verdict: Verdict) -> dict[frozenset[str], Pen]:
    """Pair of areas -> the pen of its grade; minor pairs are left out."""
    return {
        frozenset((pair.part, pair.ground)): PENS[pair.grade]
        for pair in verdict.pairs
        if not pair.minor
    }


def _pair(line: BorderLine, names: Sequence[str]) -> frozenset[str]:
    """The areas on either side of a line."""
    return frozenset((names[line.first], names[line.second]))


def _quiet_figure(view: MapView) -> Image.Image:
    """The figure in pale greys that show its form and nothing of its paint, on paper."""
    seen = view.seen
    towards = np.asarray(seen.view.axes()[2], np.float32)
    facing = np.abs(view.sculpt.normal[seen.face] @ towards)
    grey = np.asarray(srgb8_from_linear(_DIM + (_PALE - _DIM) * facing))
    picture = np.empty((seen.view.height * seen.view.width, 3), np.uint8)
    picture[:] = PAPER
    picture[seen.pixel] = grey[:, None]
    return Image.fromarray(picture.reshape(seen.view.height, seen.view.width, 3))


def _draw_letters(draw: ImageDraw.ImageDraw, view: MapView) -> None:
    """A badge in the middle of each area that has room for it, beside it with a hair line else."""
    letters = letters_of(view.sculpt)
    names = view.sculpt.area_names
    width, height = view.seen.view.width, view.seen.view.height
    taken: list[tuple[float, float]] = []
    for area, (x, y, room) in sorted(view.middles.items(), key=lambda one: -one[1][2]):
        spot = (x, y) if room > 0.9 * _BADGE else _beside((x, y), view.label, taken)
        if any(np.hypot(spot[0] - a, spot[1] - b) < 2.1 * _BADGE for a, b in taken):
            spot = _beside((x, y), view.label, taken)
        spot = (
            float(np.clip(spot[0], 1.2 * _BADGE, width - 1.2 * _BADGE)),
            float(np.clip(spot[1], 1.2 * _BADGE, height - 1.2 * _BADGE)),
        )
        taken.append(spot)
        there = (spot[0] * _SCALE, spot[1] * _SCALE)
        if spot != (x, y):
            here = (x * _SCALE, y * _SCALE)
            draw.line((*here, *there), fill=INK, width=_SCALE)
            radius = 2.2 * _SCALE
            draw.ellipse(
                (here[0] - radius, here[1] - radius, here[0] + radius, here[1] + radius), fill=INK
            )
        badge(draw, there, letters[names[area]], _SCALE)


def _beside(
    spot: tuple[float, float], label: NDArray[np.int32], taken: Sequence[tuple[float, float]]
) -> tuple[float, float]:
    """The nearest free place beside the figure for the badge of a small area."""
    rows, columns = label.shape
    reach = int(1.5 * _BADGE)
    best, least = spot, np.inf
    for turn in np.radians(np.arange(0.0, 360.0, 15.0)):
        for far in np.arange(2.5 * _BADGE, 1.2 * max(rows, columns), 8.0):
            x, y = spot[0] + far * np.cos(turn), spot[1] + far * np.sin(turn)
            column, row = int(x), int(y)
            if far >= least or not (
                reach <= row < rows - reach and reach <= column < columns - reach
            ):
                break
            box = label[row - reach : row + reach + 1, column - reach : column + reach + 1]
            free = all(np.hypot(x - a, y - b) > 2.4 * _BADGE for a, b in taken)
            if free and (box < 0).all():
                best, least = (float(x), float(y)), float(far)
                break
    return best
