"""Before and after: the border that a change mends, close up, and what the eye notices of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from preview.present.boundary_map import MapView
from preview.present.canvas import QUIET, Sheet
from preview.present.flip_sheet import draw_scale

Array = NDArray[np.uint8]
Box = tuple[slice, slice]

_LEAST_MM, _AROUND = 9.0, 1.5
_TILE = 340
_SCALE_ROW = 44


@dataclass(frozen=True)
class CloseUp:
    """A piece of a picture around a border.

    view : which of the views shows most of it; box : rows and columns of that view.
    """

    view: int
    box: Box


def close_up(views: Sequence[MapView], part: str, ground: str) -> CloseUp | None:
    """Where a pair's border is seen best; None when none of the views shows it."""
    best: tuple[float, int, NDArray[np.float64]] | None = None
    for number, view in enumerate(views):
        names = view.sculpt.area_names
        for line in view.lines:
            if {names[line.first], names[line.second]} == {part, ground} and (
                best is None or line.length > best[0]
            ):
                best = (line.length, number, line.points)
    if best is None:
        return None
    _, number, points = best
    shot = views[number].seen.view
    low, high = points.min(axis=0), points.max(axis=0)
    side = max(_AROUND * float((high - low).max()), _LEAST_MM / shot.mm_per_pixel)
    side = min(side, shot.width, shot.height)
    middle = 0.5 * (low + high)
    left = int(np.clip(middle[0] - 0.5 * side, 0, shot.width - side))
    top = int(np.clip(middle[1] - 0.5 * side, 0, shot.height - side))
    return CloseUp(number, (slice(top, top + int(side)), slice(left, left + int(side))))


def tile(picture: Array, box: Box, side: int = _TILE) -> Image.Image:
    """The piece of a picture, enlarged or shrunk to a square."""
    piece = Image.fromarray(np.ascontiguousarray(picture[box]))
    return piece.resize((side, side), Image.Resampling.LANCZOS)


def mended_sheet(
    title: str, sentences: Sequence[str], rows: Sequence[Sequence[tuple[str, Array]]]
) -> Image.Image:
    """Pictures side by side with captions, over what was changed.

    Parameters
    ----------
    rows : of pictures of one size, each with a caption.
    """
    tall, wide = rows[0][0][1].shape[:2]
    margin, gap, top = 50, 16, 96
    width = 2 * margin + len(rows[0]) * (wide + gap) - gap
    height = top + len(rows) * (tall + 44) + 34 * len(sentences) + 60 + _SCALE_ROW
    sheet = Sheet.blank(width, height)
    sheet.text((margin, 28), title, 34, strong=True, fit=width - 2 * margin)
    for number, row in enumerate(rows):
        y = top + number * (tall + 44)
        for column, (caption, picture) in enumerate(row):
            x = margin + column * (wide + gap)
            sheet.paste(picture, (x, y))
            below = (x + wide / 2, y + tall + 6)
            sheet.text(below, caption, 19, ink=QUIET, anchor="ma", fit=wide)
    y = top + len(rows) * (tall + 44) + 16
    left = margin + (len(rows[0]) - 1) * (wide + gap)
    draw_scale(sheet, left, y + 4, wide)
    sheet.text(
        (margin, y), "Right, FLIP: the darker, the plainer.", 19, ink=QUIET, fit=left - margin
    )
    y += _SCALE_ROW
    for number, sentence in enumerate(sentences):
        sheet.text((margin, y + 34 * number), sentence, 20, fit=width - 2 * margin)
    return sheet.image
