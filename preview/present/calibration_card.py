"""A calibration on a card: each tint as wanted, as predicted before, and after."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from PIL import Image, ImageDraw

from preview.mix.certainty import MEDIAN_ERROR
from preview.photo.chart import patch_quads
from preview.photo.picture import Photo
from preview.photo.spots import Disc, Spot
from preview.present.canvas import INK, PAPER, QUIET, Sheet, colour_from_hex, font
from preview.rack.paint import Rack

_WIDTH, _MARGIN, _ROW = 1200, 50, 250
# A photograph is shown about this large, so that outlines and names can be read.
_LONGEST = 1400
_MOST_ENLARGED = 4.0


def calibration_card(rack: Rack, report: Mapping[str, Any]) -> Image.Image:
    """A card with one row per tint: before, the tint itself, after, side by side.

    Parameters
    ----------
    report : of `preview.publish_calibration`.
    """
    tints = report["tints"]
    sheet = Sheet.blank(_WIDTH, 150 + _ROW * len(tints) + 90)
    room = _WIDTH - 2 * _MARGIN
    sheet.text((_MARGIN, 36), f"{report['paint']}, calibrated", 38, strong=True, fit=room)
    sheet.text((_MARGIN, 92), f"rack: {rack.name}   ·   {report['why']}", 20, ink=QUIET, fit=room)
    for number, tint in enumerate(tints):
        _draw_tint(sheet, rack, report["paint"], tint, 150 + number * _ROW)
    error = MEDIAN_ERROR["calibrated"]
    foot = f"half of all oil tints foretold from calibrated paints were within {error:g} ΔE00"
    sheet.text((_MARGIN, sheet.image.height - 62), foot, 20, ink=QUIET, fit=room)
    return sheet.image


def _draw_tint(sheet: Sheet, rack: Rack, name: str, tint: Mapping[str, Any], top: float) -> None:
    """Its drops on the left; on the right the tint between both predictions."""
    counts = [
        (colour_from_hex(rack.mix({paint: 1}).srgb), int(drops))
        for paint, drops in zip((name, tint["with"]), tint["parts"].split(":"), strict=True)
    ]
    sheet.text((_MARGIN, top + 14), f"{tint['parts']}", 30, strong=True)
    sheet.text((_MARGIN, top + 58), f"with {tint['with']}", 20, ink=QUIET, fit=250)
    sheet.drops((_MARGIN, top + 98), counts, 250, size=26)
    lightness, a, b = tint["lab"]
    sheet.text(
        (_MARGIN, top + 146), f"L* {lightness:.0f}  a* {a:.0f}  b* {b:.0f}", 20, ink=QUIET, fit=250
    )
    left, each = _MARGIN + 280, (_WIDTH - 2 * _MARGIN - 280) / 3
    columns = (
        (tint["predicted_before"], f"before: {tint['before']:.1f} ΔE00 off"),
        (tint["srgb"], "the tint itself"),
        (tint["predicted_after"], f"after: {tint['after']:.1f} ΔE00 off"),
    )
    for number, (colour, words) in enumerate(columns):
        x = left + number * each
        # The three touch, so that a difference shows as an edge
        sheet.draw.rectangle((x, top + 10, x + each, top + 172), fill=colour_from_hex(colour))
        sheet.text((x, top + 184), words, 20, strong=number == 1, ink=INK if number == 1 else QUIET)


def spots_picture(photo: Photo, spots: Mapping[str, Spot]) -> Image.Image:
    """The photograph with what was read in it outlined and named.

    Parameters
    ----------
    spots : name -> place; a chart's 24 patches are drawn one by one.
    """
    scale = min(_MOST_ENLARGED, _LONGEST / max(photo.srgb8.shape[:2]))
    height, width = (max(1, round(v * scale)) for v in photo.srgb8.shape[:2])
    image = Image.fromarray(photo.srgb8).resize((width, height), Image.Resampling.LANCZOS)
    draw = ImageDraw.Draw(image)
    for name, spot in spots.items():
        corners: list[Sequence[tuple[float, float]]] = []
        if isinstance(spot, Disc):
            box = [(v * scale) for v in _disc_box(spot)]
            draw.ellipse(box, outline=INK, width=4)
            draw.ellipse(box, outline=PAPER, width=2)
            at = (box[0], box[3] + 4)
        else:
            quads = [*([] if name != "chart" else patch_quads(spot, 0)), spot]
            corners = [[(float(x) * scale, float(y) * scale) for x, y in q.corners] for q in quads]
            at = (min(x for x, _ in corners[-1]), max(y for _, y in corners[-1]) + 4)
        for line in corners:
            draw.line([*line, line[0]], fill=INK, width=4)
            draw.line([*line, line[0]], fill=PAPER, width=2)
        face = font(24, True)
        label = (min(at[0], width - face.getlength(name) - 8), min(at[1], height - 34))
        draw.text(label, name, fill=PAPER, font=face, stroke_width=2, stroke_fill=INK)
    return image


def _disc_box(disc: Disc) -> tuple[float, float, float, float]:
    """Left, top, right and bottom."""
    return disc.x - disc.radius, disc.y - disc.radius, disc.x + disc.radius, disc.y + disc.radius
