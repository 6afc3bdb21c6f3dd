"""Strips: the figure close by, as eyes resolve it, in values, at a squint; a row per eyes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from preview.judge.eyes import Eyes
from preview.present.canvas import QUIET, Sheet
from preview.present.eye_view import encoded, in_values, resolved, seen_by, squinted

Floats = NDArray[np.float64]
Array = NDArray[np.uint8]

_MARGIN, _GAP, _NAME = 50, 10, 150
_TOP, _FOOT = 128, 70


@dataclass(frozen=True)
class Strip:
    """One row of pictures, all as the same eyes have them.

    tiles : (caption, picture) each.
    """

    eyes: Eyes
    tiles: tuple[tuple[str, Array], ...]


def strip_of(
    eyes: Eyes,
    linear: Floats,
    pixel_mm: float,
    distances_m: Sequence[float],
    luminance: float,
) -> Strip:
    """What these eyes see close by and resolve at each distance, the values, the squint.

    Parameters
    ----------
    linear : (rows, columns, 3) linear sRGB as normal eyes see it close by.
    pixel_mm : mm on the figure.
    luminance : cd/m2 to which the eyes are adapted.
    """
    seen = seen_by(eyes, linear)
    first = distances_m[0]
    far = [
        (f"resolved at {d:g} m", encoded(resolved(seen, pixel_mm, d, luminance)))
        for d in distances_m
    ]
    return Strip(
        eyes,
        (
            ("close by, as they see it", encoded(seen)),
            *far,
            ("value", encoded(in_values(seen))),
            (f"squint at {first:g} m", encoded(squinted(seen, pixel_mm, first))),
        ),
    )


def eye_sheet(strips: Sequence[Strip], title: str, note: str) -> Image.Image:
    """The strips under each other, captions on top.

    Parameters
    ----------
    strips : with the same captions.
    note : what the pictures show and leave out, in a line.
    """
    first = strips[0].tiles
    tall, wide = first[0][1].shape[:2]
    width = 2 * _MARGIN + _NAME + len(first) * (wide + _GAP)
    sheet = Sheet.blank(width, _TOP + len(strips) * (tall + _GAP) + _FOOT)
    sheet.text((_MARGIN, 28), title, 34, strong=True, fit=width - 2 * _MARGIN)
    for number, (caption, _) in enumerate(first):
        middle = _MARGIN + _NAME + number * (wide + _GAP) + wide / 2
        sheet.text((middle, _TOP - 30), caption, 19, ink=QUIET, anchor="ma", fit=wide)
    for row, strip in enumerate(strips):
        y = _TOP + row * (tall + _GAP)
        name = strip.eyes.name
        sheet.text((_MARGIN, y + tall / 2), name, 21, strong=True, anchor="lm", fit=_NAME - 12)
        for number, (_, picture) in enumerate(strip.tiles):
            sheet.paste(picture, (_MARGIN + _NAME + number * (wide + _GAP), y))
    sheet.text((_MARGIN, sheet.image.height - 46), note, 18, ink=QUIET, fit=width - 2 * _MARGIN)
    return sheet.image
