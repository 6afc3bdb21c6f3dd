"""The guide as one HTML file: offline, everything inside, for a screen beside the palette."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from html import escape
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from preview.guide.guide import Guide
from preview.guide.words import Words, guide_in_words
from preview.present.inline import webp_address

_HERE = Path(__file__).resolve().parent
_MOST_COUNTED = 12
# Room for the letters beside an area's picture, pixels.
_GUTTER = 72
_DROP = "M17 1C21 8 32 15 32 25.5C32 34.5 25 40 17 40C9 40 2 34.5 2 25.5C2 15 13 8 17 1Z"


def guide_page(guide: Guide) -> str:
    """The page as HTML that needs no other file and no network."""
    words = guide_in_words(guide)
    style = (_HERE / "guide.css").read_text(encoding="utf-8")
    title = escape(words["title"])
    pictures = {f"area-{k}": guide.alone[name].picture
                for k, name in enumerate(guide.amounts.painted.sculpt.area_names)
                if name in guide.alone}  # fmt: skip
    parts = [
        "<!doctype html>",
        '<html lang="en"><head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{title}: painting guide</title><style>{style}</style></head><body><main>",
        f"<h1>{title}</h1>",
        _quiet(words["figure"]),
        '<div class="sides">',
        *(_side(s, view.picture) for s, view in zip(words["sides"], guide.sides, strict=True)),
        "</div>",
        _area_list(words["areas"], "ul"),
        "<h2>The pots</h2>",
        f'<div class="pots">{"".join(map(_pot, words["pots"]))}</div>',
        _quiet(words["print"]),
        "<h2>In this order on the figure</h2>",
        _quiet(words["painting"]),
        _area_list(words["order"], "ol"),
        "<h2>Before you start</h2>",
        _points(words["cautions"]),
        "<h2>Mixing</h2>",
        _quiet(words["mixing"]),
        _mixes(words["mixes"]),
        "<h2>Recipe cards</h2>",
        _quiet(words["cards_note"]),
        *(_card(card, pictures) for card in words["cards"]),
        *_chart(words["chart"], words["chart_note"]),
        "<h2>How far to trust this</h2>",
        _points([*words["notes"], words["certainty"], words["print"], words["assumed"]]),
        "</main></body></html>",
    ]
    return "\n".join(parts) + "\n"


def _quiet(words: str) -> str:
    """A sentence that does not ask for attention."""
    return f'<p class="quiet">{escape(words)}</p>'


def _points(sentences: Iterable[str]) -> str:
    """A plain list."""
    return f"<ul>{''.join(f'<li>{escape(s)}</li>' for s in sentences)}</ul>"


def _disc(letter: str) -> str:
    """An area's letter."""
    return f'<span class="disc">{escape(letter)}</span>'


def _area_list(areas: Sequence[Words], tag: str) -> str:
    """Areas with their letters; numbered when they are in an order."""
    rows = "".join(
        f"<li>{f'<b>{k}</b>' if tag == 'ol' else ''}{_disc(a['letter'])}"
        f"<span>{escape(a['name'])}</span></li>"
        for k, a in enumerate(areas, start=1)
    )
    return f'<{tag} class="areas">{rows}</{tag}>'


def _pinned(
    letter: str,
    spot: tuple[float, float],
    at: tuple[float, float],
    size: float,
    square: bool = False,
) -> str:
    """A letter on a picture, with a line to its spot when it stands beside it.

    Areas stand on discs, steps on squares.
    """
    (x, y), (left, top) = spot, at
    line = ""
    if spot != at:
        line = (
            f'<path d="M{x:.0f} {y:.0f}L{left:.0f} {top:.0f}" stroke="#fff" stroke-width="7"/>'
            f'<path d="M{x:.0f} {y:.0f}L{left:.0f} {top:.0f}" stroke="#000" stroke-width="3"/>'
            f'<circle cx="{x:.0f}" cy="{y:.0f}" r="7" stroke="#fff" stroke-width="2"/>'
        )
    shape = (
        f'<rect x="{left - size:.0f}" y="{top - size:.0f}" width="{2 * size:.0f}" '
        f'height="{2 * size:.0f}" rx="{0.24 * size:.0f}"'
        if square
        else f'<circle cx="{left:.0f}" cy="{top:.0f}" r="{size:.0f}"'
    )
    return (
        f'{line}{shape} fill="#fff" stroke="#000" stroke-width="3"/>'
        f'<text x="{left:.0f}" y="{top:.0f}" font-size="{1.2 * size:.0f}" '
        'font-weight="650" text-anchor="middle" dominant-baseline="central">'
        f"{escape(letter)}</text>"
    )


def _picture(picture: NDArray[np.uint8], alt: str, pins: str, beside: int = 0) -> str:
    """A picture with letters on it or on the pixels left free beside it."""
    height, width = picture.shape[:2]
    return (
        f'<svg viewBox="0 0 {width + beside} {height}" role="img" aria-label="{escape(alt)}">'
        f'<image width="{width}" height="{height}" '
        f'href="{webp_address(Image.fromarray(picture))}"/>{pins}</svg>'
    )


def _side(side: Words, picture: NDArray[np.uint8]) -> str:
    """The figure from one side."""
    pins = "".join(_pinned(p["letter"], p["spot"], p["at"], 24) for p in side["letters"])
    shown = _picture(picture, f"the painted figure, {side['name']}", pins)
    return f'<figure>{shown}<figcaption class="quiet">{escape(side["name"])}</figcaption></figure>'


def _swatch(swatch: Words, words: str = "") -> str:
    """A patch of colour."""
    style = f"background:{swatch['colour']};color:{swatch['ink']}"
    return f'<div class="swatch" style="{style}">{escape(words)}</div>'


def _symbol(part: Words) -> str:
    """A drop of a pot, or the square dab of a mix, with its letter."""
    shape = (
        '<rect x="2" y="9" width="30" height="30" rx="4"' if part["mix"] else f'<path d="{_DROP}"'
    )
    size = 17 if len(part["sign"]) == 1 else 14
    return (
        f'<svg viewBox="0 0 34 42" aria-hidden="true">{shape} fill="{part["colour"]}" '
        f'stroke="#666" stroke-width="1.5"/><text x="17" y="25" font-size="{size}" '
        f'font-weight="650" fill="{part["ink"]}" text-anchor="middle" '
        f'dominant-baseline="central">{escape(part["sign"])}</text></svg>'
    )


def _symbols(parts: Sequence[Words]) -> str:
    """Drops one can count, in fives; a number where they are too many."""
    shown = []
    for part in parts:
        if part["count"] > _MOST_COUNTED:
            shown.append(f"{_symbol(part)}<b>× {part['count']}</b>")
        else:
            for first in range(0, part["count"], 5):
                shown.append(_symbol(part) * min(5, part["count"] - first))
                shown.append('<span class="gap"></span>')
    return f'<div class="symbols">{"".join(shown)}</div>'


def _pot(pot: Words) -> str:
    """One pot."""
    facts = [pot["words"], *pot["facts"], pot["gives"], pot["spent"], pot["keeps"]]
    lines = "<br>".join(escape(fact) for fact in facts if fact)
    return (
        f'<div class="pot">{_swatch(pot)}<div>{_symbols([{**pot, "mix": False, "count": 1}])}'
        f'<span class="quiet">{escape(pot["role"])}</span><h3>{escape(pot["name"])}</h3>'
        f"{lines}</div></div>"
    )


_NUMBERS = ("all drops", "for the figure", "for other mixes", "left over")


def _mixes(mixes: Sequence[Words]) -> str:
    """Every mix in the order of mixing."""
    head = "".join(f'<th class="n">{name}</th>' for name in _NUMBERS)
    rows = "".join(map(_mix, mixes)) or "<tr><td>Nothing is mixed: no area takes paint.</td></tr>"
    return (
        '<div class="scroll"><table class="mixes"><thead><tr><th>mix</th><th></th>'
        f"<th>drops to mix</th>{head}</tr></thead><tbody>{rows}</tbody></table></div>"
    )


def _mix(mix: Words) -> str:
    """One row of the table."""
    parts = "".join(
        f'<span class="part"><span class="symbols">{_symbol(p)}</span><b>{p["count"]}</b> '
        f"{escape(p['name'])}</span>"
        for p in mix["parts"]
    )
    how = f"parts {mix['ratio']}" if mix["ratio"] else "from the pot"
    numbers = (mix["drops"], mix["needed"], mix["taken"], mix["left"])
    cells = "".join(
        f'<td class="n" data-name="{name}">{escape(number)}</td>'
        for name, number in zip(_NUMBERS, numbers, strict=True)
    )
    return (
        f"<tr><td><b>{mix['number']}</b></td><td>{_swatch(mix)}</td>"
        f"<td><b>{escape(', '.join(mix['uses']))}</b><br>{parts}<br>"
        f'<span class="quiet">{how} · {escape(mix["words"])}</span></td>{cells}</tr>'
    )


def _card(card: Words, pictures: Mapping[str, NDArray[np.uint8]]) -> str:
    """One area's recipe card."""
    figure = ""
    if card["picture"]:
        picture = pictures[card["picture"]]
        height, width = picture.shape[:2]
        pins = "".join(
            _pinned(
                mark["letter"],
                (mark["x"] * width, mark["y"] * height),
                (width + _GUTTER / 2, mark["at"] * height),
                26,
                square=True,
            )
            for mark in card["marks"]
        )
        shown = _picture(picture, f"{card['name']} alone, {card['seen']}", pins, _GUTTER)
        figure = f'<figure>{shown}</figure><span class="quiet">{escape(card["seen"])}</span><br>'
    bare = "".join(f"<p>{escape(card[key])}</p>" for key in ("bare", "covered") if card[key])
    return (
        f'<article class="card"><div><header>{_disc(card["letter"])}<div>'
        f'<h3>{escape(card["name"])}</h3><span class="quiet">{card["place"]} on the figure</span>'
        f'</div></header>{figure}<span class="quiet">{escape(" · ".join(card["facts"]))}</span>'
        f"{bare}</div><div>{''.join(map(_step, card['steps']))}</div></article>"
    )


def _step(step: Words) -> str:
    """One step of a card."""
    recipe = f"{_symbols(step['parts'])}{escape(step['said'])}<br>" if step["parts"] else ""
    return (
        f'<div class="step">{_swatch(step)}<div><div class="top"><span><b>{escape(step["name"])}'
        f"</b> {escape(step['words'])}</span><b>{step['mix']}</b></div>{recipe}"
        f'<span class="quiet">{escape(" · ".join(step["facts"]))}</span></div></div>'
    )


def _chart(chart: Sequence[Mapping[str, Any]], note: str) -> list[str]:
    """Every two pots with what they make."""
    if not chart:
        return []
    rows = []
    for row in chart:
        one, other = (f"{row[k]['sign']} {row[k]['name']}" for k in ("first", "second"))
        swatches = "".join(
            f"<div>{_swatch(s, s['ratio'])}<small>{escape(s['words'])}</small></div>"
            for s in row["swatches"]
        )
        rows.append(
            f'<div class="chart"><div class="ends"><span>{escape(one)}</span>'
            f"<span>{escape(other)}</span></div>{swatches}</div>"
        )
    return [
        "<h2>What the pots make, two by two</h2>",
        _quiet(note),
        *rows,
    ]
