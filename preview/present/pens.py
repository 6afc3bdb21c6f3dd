"""How each grade of border is drawn: weight, pattern and hue, any one of which tells it.

The worse a border reads, the louder its line: a map of what needs work, quiet where all is well.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import ImageDraw

from preview.judge.grades import Grade
from preview.present.canvas import Colour

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Pen:
    """A line, in pixels at normal size.

    width : of the line. on, off : dash and gap along it, round ends reaching into the gap by half
    the width; off 0 is unbroken, on 0 is dots.
    """

    colour: Colour
    width: float
    on: float = 1.0
    off: float = 0.0


PENS: dict[Grade, Pen] = {
    Grade.LOST: Pen((170, 20, 24), 8.0, on=0.0, off=13.0),
    Grade.TRACE: Pen((184, 72, 0), 5.5, on=7.0, off=12.0),
    Grade.VISIBLE: Pen((206, 160, 30), 4.0, on=20.0, off=9.0),
    Grade.READABLE: Pen((36, 110, 168), 2.6, on=33.0, off=6.0),
    Grade.STRONG: Pen((14, 38, 74), 1.5),
}
"""From dark red dots over rust, ochre and long blue dashes to a whole navy line: warm is weak,
cold is fine, which red- and green-blind eyes see too; lightness and pattern tell it without hue."""

MINOR_PEN = Pen((150, 148, 144), 1.0)
_CASING: Colour = (252, 251, 248)


def draw_line(draw: ImageDraw.ImageDraw, points: Floats, pen: Pen, scale: float = 1.0) -> None:
    """Draw a line with a pen, on a pale casing that sets it off from what it lies on.

    Parameters
    ----------
    points : (points, 2) x and y.
    scale : how much larger than normal the picture is.
    """
    width = pen.width * scale
    casing = width + 2.0 * scale
    pieces = [points] if not pen.off else list(_pieces(points, pen.on * scale, pen.off * scale))
    for ink, wide in ((_CASING, casing), (pen.colour, width)):
        for piece in pieces:
            _stroke(draw, piece, ink, wide)


def _stroke(draw: ImageDraw.ImageDraw, points: Floats, ink: Colour, width: float) -> None:
    """A stroke with round ends; a dot where it has no length."""
    places = [(float(x), float(y)) for x, y in points]
    if len(places) > 1:
        draw.line(places, fill=ink, width=max(1, round(width)), joint="curve")
    radius = 0.5 * width
    for x, y in (places[0], places[-1]):
        draw.ellipse((x - radius, y - radius, x + radius, y + radius), fill=ink)


def _pieces(points: Floats, on: float, off: float) -> Iterator[Floats]:
    """The dashes along a line, spread evenly over its length."""
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    along = np.concatenate([[0.0], np.cumsum(steps)])
    whole = float(along[-1])
    count = max(1, round(whole / (on + off)))
    pitch = whole / count
    dash = on * pitch / (on + off)
    for k in range(count):
        start = (k + 0.5) * pitch - 0.5 * dash
        inside = along[(along > start) & (along < start + dash)]
        at = np.concatenate([[start], inside, [start + dash]]) if dash else np.array([start])
        yield np.stack([np.interp(at, along, points[:, c]) for c in (0, 1)], axis=1)
