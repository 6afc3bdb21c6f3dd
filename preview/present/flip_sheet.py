"""What the eye notices between schemes when one flips from one to the other."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from preview.judge.flip_andersson_2020 import Flip
from preview.present.canvas import PAPER, QUIET, Sheet

Array = NDArray[np.uint8]

# From nothing to plainly seen: paper over ochre to dark red, ever darker.
_HEAT = np.array([[247, 245, 241], [240, 205, 120], [214, 110, 40], [120, 16, 24]], float)
_HEAT_AT = (0.0, 0.12, 0.3, 0.6)


def heat(flip: Flip, within: NDArray[np.bool_]) -> Array:
    """(rows, columns, 3): where the eye notices a difference, on paper."""
    flat = np.clip(flip.error, 0.0, 1.0)
    shown = np.stack([np.interp(flat, _HEAT_AT, _HEAT[:, c]) for c in range(3)], axis=-1)
    quiet = np.array(PAPER, float) - 14.0
    return np.asarray(np.where(within[..., None], np.minimum(shown, quiet), PAPER), np.uint8)


def flip_sheet(
    titles: Sequence[str],
    flips: Sequence[tuple[Flip, NDArray[np.bool_]]],
    distance_m: float,
    side: int,
) -> Image.Image:
    """A map for each scheme but the first, of what is noticed against the first.

    Parameters
    ----------
    flips : a difference and where the figure is, for each but the first.
    side : pixels of each map.
    """
    margin, gap, top = 50, 24, 118
    count = max(len(flips), 1)
    width = max(2 * margin + count * (side + gap) - gap, 640)
    sheet = Sheet.blank(width, top + side + 110)
    inner = width - 2 * margin
    sheet.text((margin, 26), f"Noticed against {titles[0]}", 32, strong=True, fit=inner)
    words = f"flipping between the two at {distance_m:g} m; the darker, the plainer"
    sheet.text((margin, 72), words, 19, ink=QUIET, fit=inner)
    for number, (flip, within) in enumerate(flips):
        x = margin + number * (side + gap)
        shown = Image.fromarray(heat(flip, within)).resize((side, side), Image.Resampling.BICUBIC)
        sheet.image.paste(shown, (x, top))
        below = f"{titles[number + 1]}: FLIP {flip.mean:.3f} over the figure"
        sheet.text((x + side / 2, top + side + 10), below, 19, anchor="ma", fit=side)
    draw_scale(sheet, margin, top + side + 60, min(inner, 460))
    return sheet.trimmed()


def draw_scale(sheet: Sheet, left: float, y: float, wide: float) -> None:
    """What the colours mean."""
    steps = 46
    each = (wide - 140) / steps
    for k in range(steps):
        value = np.array([[k / (steps - 1) * _HEAT_AT[-1]]], np.float32)
        red, green, blue = (int(v) for v in heat(Flip(value, 0.0), np.ones((1, 1), bool))[0, 0])
        x = left + 40 + k * each
        sheet.draw.rectangle((x, y, x + each + 1, y + 16), fill=(red, green, blue))
    sheet.text((left, y - 3), "0", 18, ink=QUIET)
    sheet.text((left + wide - 88, y - 3), f"{_HEAT_AT[-1]:g} or more", 18, ink=QUIET)
