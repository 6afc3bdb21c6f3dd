"""A mixing chart: each warm pot with a cold one, from pot to pot, and lightened."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from PIL import Image

from preview.mix.mixture import Mix
from preview.optics.cie1976_lab import chroma_from_lab
from preview.palette.pairs import CHART_DROPS, Pair, Pairs
from preview.present.canvas import INK, QUIET, Sheet, colour_from_hex, ink_on
from preview.present.palette_words import SIGNS, neutral_in_words, pairs_notes, verdict_in_words

WIDTH, MARGIN = 2000, 60
PAIRS_A_PAGE = 12
_GAP = 60
_BLOCK = 246
# A strip of nine cells, and what the pair is good for at its right.
_CELL, _OWN, _LIGHT = 60, 58, 44
_BESIDE = 22
_PATCH = (64, 40)


def mixing_charts(found: Pairs) -> list[Image.Image]:
    """The pairs on as many pages as they need, twelve to a page."""
    starts = range(0, len(found.pairs), PAIRS_A_PAGE)
    return [
        _page(found, found.pairs[start : start + PAIRS_A_PAGE], number, len(starts))
        for number, start in enumerate(starts, start=1)
    ]


def _page(found: Pairs, pairs: Sequence[Pair], number: int, pages: int) -> Image.Image:
    """One page."""
    rows = -(-len(pairs) // 2)
    inner = WIDTH - 2 * MARGIN
    sheet = Sheet.blank(WIDTH, 560 + rows * _BLOCK)
    sheet.text((MARGIN, 42), "Warm with cold", 44, strong=True)
    page = f"   ·   page {number} of {pages}" if pages > 1 else ""
    told = f"rack: {found.rack.name}   ·   {found.count} pairs in all{page}"
    sheet.text((MARGIN, 100), told, 21, ink=QUIET, fit=inner)
    each = (inner - _GAP) / 2
    for k, pair in enumerate(pairs):
        at = (MARGIN + (k % 2) * (each + _GAP), 160.0 + (k // 2) * _BLOCK)
        _draw_pair(sheet, pair, at, each)
    y = 160.0 + rows * _BLOCK
    sheet.rule(y, MARGIN, WIDTH - MARGIN)
    y += 22
    for words in (*_legend(found), *pairs_notes(found)):
        y += sheet.paragraph((MARGIN, y), words, inner, 19, ink=QUIET) + 4
    return sheet.trimmed()


def _legend(found: Pairs) -> list[str]:
    """How to read the chart."""
    lightened = (
        f" Below each mix the same, one to one with {found.pale.name}." if found.pale else ""
    )
    return [
        "From the warm pot at the left to the cold one at the right, drops of warm : cold under "
        f"each mix, and on it the chroma that is left.{lightened} The wedge points at the most "
        "neutral mix.",
        "Span: the C* that the duller pot loses on the way to the most neutral mix. ΔL*: how much "
        "lighter the warm pot is. ΔE00: how different the pots look. A grey has C* below 8 and L* "
        "45 to 65. ≈ marks an estimate from swatches.",
    ]


def _draw_pair(sheet: Sheet, pair: Pair, at: tuple[float, float], width: float) -> None:
    """One pair: its name, its strip of mixes, and what it is good for."""
    x, y = at
    numbers = (
        f"span {pair.span:.0f}   ΔL* {round(pair.lightness_gap):+d}   ΔE00 {pair.difference:.0f}"
    )
    kept = sheet.text((x + width, y + 4), numbers, 17, ink=QUIET, anchor="ra")
    name = f"{pair.warm.name} + {pair.cold.name}"
    sheet.text((x, y), name, 22, strong=True, fit=width - kept - 20)
    _draw_strip(sheet, pair, (x, y + 36))
    left = x + _CELL * len(CHART_DROPS) + _BESIDE
    _draw_uses(sheet, pair, (left, y + 36), x + width - left)


def _draw_strip(sheet: Sheet, pair: Pair, at: tuple[float, float]) -> None:
    """Mixes from pot to pot with the chroma left, lightened ones below, drops under them."""
    x, y = at
    foot = y + _OWN + (_LIGHT if pair.lightened else 0)
    for k, mix in enumerate(pair.mixes):
        left, right = x + k * _CELL, x + (k + 1) * _CELL - 4
        colour = colour_from_hex(mix.srgb)
        sheet.swatch((left, y, right, y + _OWN - 4), colour, 3)
        middle = (left + right) / 2
        sheet.text((middle, y + _OWN / 2 - 2), f"{pair.chroma[k]:.0f}", 17, ink=ink_on(colour),
                   anchor="mm")  # fmt: skip
        if pair.lightened:
            pale = colour_from_hex(pair.lightened[k].srgb)
            sheet.swatch((left, y + _OWN, right, foot - 4), pale, 3)
        warm, cold = CHART_DROPS[k]
        words = f"{warm}:{cold}" if warm and cold else "pot"
        sheet.text((middle, foot + 22), words, 16, ink=QUIET, anchor="ma")
    tip = x + _CELL * _column_of(pair.neutral.drops) + (_CELL - 4) / 2
    sheet.draw.polygon([(tip, foot + 2), (tip - 8, foot + 15), (tip + 8, foot + 15)], fill=INK)


def _column_of(drops: tuple[int, int]) -> float:
    """Where a ratio lies among the columns of the chart, between two if need be."""
    shares = [cold / (warm + cold) for warm, cold in CHART_DROPS]
    return float(np.interp(drops[1] / sum(drops), shares, range(len(shares))))


def _draw_uses(sheet: Sheet, pair: Pair, at: tuple[float, float], width: float) -> None:
    """The most neutral mix, the best brown and the best grey, each with its drops."""
    x, y = at
    neutral = pair.neutral
    ratio = "{}:{}".format(*neutral.drops)
    _draw_use(sheet, (x, y), width, f"most neutral {ratio}", neutral_in_words(neutral), neutral.mix)
    sheet.text((x + _PATCH[0] + 12, y + 41), verdict_in_words(neutral), 15, ink=QUIET,
               fit=width - _PATCH[0] - 12)  # fmt: skip
    for mix, name, top in ((pair.brown, "brown", y + 72), (pair.grey, "grey", y + 126)):
        if mix is None:
            sheet.text((x, top + 10), f"no {name}", 17, ink=QUIET)
            continue
        ratio = ":".join(str(n) for n in mix.recipe.values())
        sign = SIGNS[mix.certainty]
        numbers = f"{sign} C* {float(chroma_from_lab(mix.lab)):.1f}  L* {mix.lab[0]:.0f}"
        _draw_use(sheet, (x, top), width, f"{name} {ratio}", numbers, mix)


def _draw_use(
    sheet: Sheet, at: tuple[float, float], width: float, name: str, numbers: str, mix: Mix
) -> None:
    """A patch with a name and numbers beside it."""
    x, y = at
    sheet.swatch((x, y, x + _PATCH[0], y + _PATCH[1]), colour_from_hex(mix.srgb), 3)
    left = x + _PATCH[0] + 12
    sheet.text((left, y - 1), name, 17, strong=True, fit=width - _PATCH[0] - 12)
    sheet.text((left, y + 20), numbers, 16, ink=QUIET, fit=width - _PATCH[0] - 12)
