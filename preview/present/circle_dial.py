"""The painters' circle as a dial, drawn like the sectors of a light on a sea chart.

Warm lies on the left, cold on the right, their limits upright and dashed; how far out a paint
stands is its chroma. The dial has no colour of its own, so that only paint is coloured.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from PIL import Image, ImageDraw

from preview.mix.circle import (
    BORDER_WIDTH_DEG,
    BORDERS,
    COLD_BEGINS_DEG,
    HUES,
    NEUTRAL_CHROMA,
)
from preview.optics.spectrum import Floats
from preview.present.canvas import INK, PAPER, QUIET, RULE, Colour, colour_from_hex, edge_of, font

_FINE = 2
_WARM_GROUND: Colour = (243, 236, 222)
_COLD_GROUND: Colour = (230, 234, 236)
_RINGS = (20.0, 40.0, 60.0, 80.0, 100.0, 120.0)


@dataclass(frozen=True)
class Dial:
    """Where the dial stands on a picture, in pixels.

    radius : of the outer rim. band : how much of it the rim with the twelve names takes.
    most_chroma : where the names begin.
    """

    middle: tuple[float, float]
    radius: float
    band: float
    most_chroma: float

    def at(self, wheel_deg: ArrayLike, chroma: ArrayLike) -> Floats:
        """(..., 2) x and y of places on the circle; chroma grows as the square of the way out."""
        far = (self.radius - self.band) * np.sqrt(np.asarray(chroma) / self.most_chroma)
        return self.on(wheel_deg, far)

    def on(self, wheel_deg: ArrayLike, far: ArrayLike) -> Floats:
        """(..., 2) x and y at a distance from the middle, pixels."""
        turn = np.radians(page_angle(wheel_deg))
        away = np.asarray(far)[..., None] * np.stack([np.cos(turn), np.sin(turn)], axis=-1)
        return np.asarray(np.array(self.middle) + away)


def page_angle(wheel_deg: ArrayLike) -> Floats:
    """Degrees clockwise from the right, as pictures count: cold begins at the top."""
    return np.asarray(np.mod(np.asarray(wheel_deg) - COLD_BEGINS_DEG - 90.0, 360.0))


def chroma_limit(chromas: Sequence[float]) -> float:
    """The chroma at the inner edge of the names: above all, in whole tens, 60 at least."""
    return max(60.0, 10.0 * math.ceil((max(chromas, default=0.0) + 2.0) / 10.0))


def draw_dial(image: Image.Image, dial: Dial) -> None:
    """Draw grounds, limits and rings of chroma into a picture."""
    box = _around(dial, dial.radius + 70)
    large = Image.new("RGB", ((box[2] - box[0]) * _FINE, (box[3] - box[1]) * _FINE), PAPER)
    fine = Dial(
        ((dial.middle[0] - box[0]) * _FINE, (dial.middle[1] - box[1]) * _FINE),
        dial.radius * _FINE,
        dial.band * _FINE,
        dial.most_chroma,
    )
    pen = ImageDraw.Draw(large)
    _draw_grounds(pen, fine)
    _draw_rings(pen, fine)
    _draw_limits(pen, fine)
    image.paste(large.reduce(_FINE), (box[0], box[1]))
    _write_rings(ImageDraw.Draw(image), dial)


def write_hues(image: Image.Image, dial: Dial) -> None:
    """Write the twelve names along the rim, over what runs there."""
    for number, name in enumerate(HUES):
        _write_along(image, dial, name, 30.0 * number)


def draw_dots(
    image: Image.Image, spots: Floats, colours: Sequence[str], square: Sequence[bool], size: float
) -> None:
    """Draw paints as round dots, or square ones, rimmed by paper; the first ones lie on top.

    Parameters
    ----------
    spots : (paints, 2) middles, pixels.
    colours : "#rrggbb" each.
    size : radius in pixels.
    """
    layer = Image.new("RGB", (image.width * _FINE, image.height * _FINE))
    mask = Image.new("L", layer.size)
    for (x, y), text, has_corners in list(zip(spots * _FINE, colours, square, strict=True))[::-1]:
        colour = colour_from_hex(text)
        for radius, ink in ((size + 2.5, PAPER), (size, edge_of(colour)), (size - 1.5, colour)):
            r = radius * _FINE * (0.88 if has_corners else 1.0)
            box = (x - r, y - r, x + r, y + r)
            corner = 3.0 * _FINE if has_corners else r
            ImageDraw.Draw(layer).rounded_rectangle(box, corner, fill=ink)
            ImageDraw.Draw(mask).rounded_rectangle(box, corner, fill=255)
    image.paste(layer.reduce(_FINE), (0, 0), mask.reduce(_FINE))


def draw_leaders(image: Image.Image, lines: Sequence[tuple[Sequence[float], ...]]) -> None:
    """Draw fine lines through their points, pixels."""
    mask = Image.new("L", (image.width * _FINE, image.height * _FINE))
    pen = ImageDraw.Draw(mask)
    for line in lines:
        pen.line([(x * _FINE, y * _FINE) for x, y in line], fill=255, width=2)
    image.paste(QUIET, (0, 0), mask.reduce(_FINE))


def _around(dial: Dial, far: float) -> tuple[int, int, int, int]:
    """A box of whole pixels around the dial."""
    x, y = dial.middle
    return round(x - far), round(y - far), round(x + far), round(y + far)


def _draw_grounds(pen: ImageDraw.ImageDraw, dial: Dial) -> None:
    """The two halves, the rim, and the stretches where warm and cold are a matter of taste."""
    x, y = dial.middle
    r = dial.radius
    box = (x - r, y - r, x + r, y + r)
    pen.pieslice(box, 90, 270, fill=_WARM_GROUND)
    pen.pieslice(box, -90, 90, fill=_COLD_GROUND)
    # Warm has a heavy rim, cold a double fine one: they are told apart without hue.
    pen.arc(box, 90, 270, fill=INK, width=5 * _FINE)
    pen.arc(box, -90, 90, fill=INK, width=round(1.5 * _FINE))
    inset = tuple(v + s * 5 * _FINE for v, s in zip(box, (1, 1, -1, -1), strict=True))
    pen.arc(inset, -90, 90, fill=INK, width=round(1.5 * _FINE))
    inner = r - dial.band
    pen.ellipse((x - inner, y - inner, x + inner, y + inner), outline=RULE, width=_FINE)
    for border in BORDERS:
        for off in np.arange(-BORDER_WIDTH_DEG, BORDER_WIDTH_DEG + 0.1, 1.5):
            ends = dial.on(border + off, np.array([r + 6 * _FINE, r + 16 * _FINE]))
            pen.line([tuple(end) for end in ends], fill=QUIET, width=_FINE)


def _draw_rings(pen: ImageDraw.ImageDraw, dial: Dial) -> None:
    """Dotted rings of equal chroma, and the small one within which all is neutral."""
    x, y = dial.middle
    for chroma in _rings(dial):
        far = float(np.linalg.norm(dial.at(0.0, chroma) - np.array(dial.middle)))
        for turn in np.arange(0.0, 360.0, 2.0):
            px, py = dial.on(turn, far)
            pen.ellipse((px - 1.6, py - 1.6, px + 1.6, py + 1.6), fill=QUIET)
    far = float(np.linalg.norm(dial.at(0.0, NEUTRAL_CHROMA) - np.array(dial.middle)))
    pen.ellipse((x - far, y - far, x + far, y + far), fill=PAPER, outline=QUIET, width=_FINE)


def _draw_limits(pen: ImageDraw.ImageDraw, dial: Dial) -> None:
    """The limits between warm and cold, dashed from the middle out past the rim."""
    inside = float(np.linalg.norm(dial.at(0.0, NEUTRAL_CHROMA) - np.array(dial.middle)))
    for border in BORDERS:
        for start in np.arange(inside, dial.radius + 56 * _FINE, 17 * _FINE):
            ends = dial.on(border, np.array([start, start + 10 * _FINE]))
            pen.line([tuple(end) for end in ends], fill=INK, width=round(1.5 * _FINE))


def _rings(dial: Dial) -> list[float]:
    """The chromas that have a ring."""
    return [chroma for chroma in _RINGS if chroma <= dial.most_chroma - 5.0]


def _write_rings(pen: ImageDraw.ImageDraw, dial: Dial) -> None:
    """The chroma of each ring, beside the lower limit, and what the middle is."""
    face = font(14)
    for chroma in _rings(dial):
        x, y = dial.at(BORDERS[1], chroma)
        words = f"C* {chroma:.0f}"
        pen.text((x + 6, y), words, fill=QUIET, font=face, anchor="lm",
                 stroke_width=2, stroke_fill=_COLD_GROUND)  # fmt: skip
    pen.text(dial.middle, "neutral", fill=QUIET, font=font(16), anchor="mm")


def _write_along(image: Image.Image, dial: Dial, words: str, wheel_deg: float) -> None:
    """A name set along the rim, upright on both halves of the page."""
    wide, tall = round(font(19, True).getlength(words)) + 12, 34
    turn = float(page_angle(wheel_deg))
    upright = 270.0 - turn if turn > 180.0 else 90.0 - turn
    ground = _WARM_GROUND if 90.0 < turn < 270.0 else _COLD_GROUND
    x, y = dial.on(wheel_deg, dial.radius - 0.5 * dial.band - 2.0)
    for ink, stroke in ((ground, 5), (INK, 0)):
        mask = Image.new("L", (wide * 2, tall * 2))
        ImageDraw.Draw(mask).text(
            (wide, tall), words, fill=255, font=font(38, True), anchor="mm", stroke_width=stroke
        )
        mask = mask.rotate(upright, Image.Resampling.BICUBIC, expand=True)
        mask = mask.resize((mask.width // 2, mask.height // 2), Image.Resampling.BOX)
        image.paste(ink, (round(x - mask.width / 2), round(y - mask.height / 2)), mask)
