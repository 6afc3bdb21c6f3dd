"""Paper and pen for sheets: text that fits, swatches, drops. Shipped font, so pictures are calm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

Colour = tuple[int, int, int]

PAPER: Colour = (247, 245, 241)
INK: Colour = (34, 34, 36)
QUIET: Colour = (112, 110, 106)
RULE: Colour = (206, 202, 195)

_MOST_DRAWN = 9
FONTS = Path(__file__).resolve().parent / "fonts"


@cache
def font(size: int, strong: bool = False) -> ImageFont.FreeTypeFont:
    """The shipped font at a pixel size."""
    name = "Inter-SemiBold.otf" if strong else "Inter-Regular.otf"
    return ImageFont.truetype(str(FONTS / name), size)


def colour_from_hex(text: str) -> Colour:
    """(red, green, blue) bytes of "#rrggbb"."""
    return int(text[1:3], 16), int(text[3:5], 16), int(text[5:7], 16)


@dataclass(frozen=True)
class Sheet:
    """A page that is drawn on; all lengths in pixels, the origin at the top left."""

    image: Image.Image
    draw: ImageDraw.ImageDraw

    @classmethod
    def blank(cls, width: int, height: int, paper: Colour = PAPER) -> Sheet:
        """An empty page."""
        image = Image.new("RGB", (width, height), paper)
        return cls(image, ImageDraw.Draw(image))

    def text(
        self,
        at: tuple[float, float],
        words: str,
        size: int = 20,
        strong: bool = False,
        ink: Colour = INK,
        fit: float | None = None,
        anchor: str = "la",
    ) -> float:
        """Write one line, shortened to `fit` pixels if need be; gives its width."""
        face = font(size, strong)
        shown = words if fit is None else shorten(words, fit, size, strong)
        self.draw.text(at, shown, fill=ink, font=face, anchor=anchor)
        return face.getlength(shown)

    def halo_text(
        self,
        at: tuple[float, float],
        words: str,
        size: int,
        ink: Colour,
        halo: Colour,
        anchor: str = "mm",
        fit: float | None = None,
    ) -> None:
        """Write one line with a rim around its letters, so that it reads on any ground."""
        shown = words if fit is None else shorten(words, fit, size, True)
        self.draw.text(
            at, shown, fill=ink, font=font(size, True), anchor=anchor,
            stroke_width=max(2, size // 10), stroke_fill=halo,
        )  # fmt: skip

    def paragraph(
        self,
        at: tuple[float, float],
        words: str,
        width: float,
        size: int = 18,
        ink: Colour = INK,
        most_lines: int = 99,
        strong: bool = False,
    ) -> float:
        """Write words broken over lines; gives the height used."""
        lines = wrap(words, width, size, strong)
        kept = lines[:most_lines]
        if len(lines) > most_lines:
            kept[-1] = shorten(kept[-1] + " …", width, size, strong)
        for number, line in enumerate(kept):
            self.text((at[0], at[1] + number * size * 1.4), line, size, strong, ink)
        return len(kept) * size * 1.4

    def paste(self, picture: NDArray[np.uint8], at: tuple[int, int]) -> None:
        """Put a (height, width, 3) picture on the page."""
        self.image.paste(Image.fromarray(picture), at)

    def swatch(
        self, box: tuple[float, float, float, float], colour: Colour, round_corner: int = 6
    ) -> None:
        """A filled patch with a fine outline a little darker, so that pale ones show on paper."""
        whole = [round(v) for v in box]
        self.draw.rounded_rectangle(whole, round_corner, fill=colour, outline=edge_of(colour))

    def trimmed(self) -> Image.Image:
        """The page with as much air below the last thing drawn as above the first."""
        rows = np.flatnonzero((np.asarray(self.image) != self.image.getpixel((0, 0))).any((1, 2)))
        if not len(rows):
            return self.image
        height = min(self.image.height, int(rows[-1]) + 1 + int(rows[0]))
        return self.image.crop((0, 0, self.image.width, height))

    def drops(
        self,
        at: tuple[float, float],
        counts: Sequence[tuple[Colour, int]],
        width: float,
        size: float = 18,
        marks: Sequence[str] = (),
    ) -> None:
        """Draw drops one can count, pot by pot; where they are too many, a numeral a pot.

        counts : (colour of the pot or mix, whole drops) each.
        marks : for each, what stands on the square dab of a mix; "" draws a pot's round drop.
        width : the room there is, pixels.
        """
        x, y = at
        room = sum(0.86 * count + 0.42 for _, count in counts) * size
        countable = room <= width and max(count for _, count in counts) <= _MOST_DRAWN
        for number, (colour, count) in enumerate(counts):
            mark = marks[number] if number < len(marks) else ""
            for _ in range(count if countable else 1):
                if mark:
                    self._dab((x, y), colour, size, mark)
                else:
                    self._drop((x, y), colour, size)
                x += size * 0.86
            if not countable:
                x += self.text((x + 2, y + size * 0.08), f"×{count}", round(size * 0.9)) + 6
            x += size * 0.42

    def _drop(self, at: tuple[float, float], colour: Colour, size: float) -> None:
        """One drop: a round belly under a pointed top."""
        x, y = at
        middle, belly, radius = x + size * 0.4, y + size * 0.62, size * 0.36
        turns = np.radians(np.linspace(-30, 210, 25))
        round_part = [(middle + radius * np.cos(t), belly + radius * np.sin(t)) for t in turns]
        outline = [(middle, y), *round_part]
        self.draw.polygon(outline, fill=colour, outline=QUIET)

    def _dab(self, at: tuple[float, float], colour: Colour, size: float, mark: str) -> None:
        """One dab of a mix: a square as tall as a drop, with what it is on it."""
        left, top = round(at[0]), round(at[1] + size * 0.14)
        side = round(size * 0.84)
        box = (left, top, left + side, top + side)
        self.draw.rounded_rectangle(box, round(size * 0.12), fill=colour, outline=QUIET)
        letters = round(size * (0.66 if len(mark) == 1 else 0.5))
        middle = (left + side / 2, top + side / 2)
        self.text(middle, mark, letters, True, ink_on(colour), anchor="mm")

    def rule(self, y: float, left: float, right: float) -> None:
        """A fine horizontal line."""
        self.draw.line((left, y, right, y), fill=RULE, width=2)


def edge_of(colour: Colour) -> Colour:
    """The outline of a patch: its own colour, a little darker."""
    red, green, blue = (round(0.8 * part) for part in colour)
    return red, green, blue


def ink_on(colour: Colour) -> Colour:
    """Ink that reads on a colour: dark on light, pale on dark."""
    red, green, blue = colour
    return INK if 0.3 * red + 0.59 * green + 0.11 * blue > 128 else PAPER


def shorten(words: str, width: float, size: int, strong: bool = False) -> str:
    """The words, cut with an ellipsis so that they fit a width in pixels."""
    face = font(size, strong)
    if face.getlength(words) <= width:
        return words
    while words and face.getlength(words + "…") > width:
        words = words[:-1]
    return words.rstrip() + "…"


def wrap(words: str, width: float, size: int, strong: bool = False) -> list[str]:
    """The words broken into lines that fit a width in pixels, a word only where it is longer."""
    face, lines, line = font(size, strong), list[str](), ""
    for word in words.split():
        longer = f"{line} {word}".strip()
        if line and face.getlength(longer) > width:
            lines.append(line)
            line = word
        else:
            line = longer
        while len(line) > 1 and face.getlength(line) > width:
            fits = range(len(line) - 1, 1, -1)
            cut = next((n for n in fits if face.getlength(line[:n] + "-") <= width), 1)
            lines.append(line[:cut] + "-")
            line = line[cut:]
    return [*lines, line] if line else lines
