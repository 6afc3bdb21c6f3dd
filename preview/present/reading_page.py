"""Does it read, as one page: offline, self-contained, with pictures, sortable pairs and advice."""

from __future__ import annotations

import html
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from PIL import Image

from preview.judge.caveats import caveats_on
from preview.judge.grades import Grade
from preview.judge.verdict import Pair, Verdict
from preview.present.inline import webp_address
from preview.present.pens import PENS
from preview.shape.threads import in_threads

_HERE = Path(__file__).resolve().parent


@dataclass(frozen=True, eq=False)
class ShownMend:
    """A change with its pictures.

    title : the pair. change, outcome, others : sentences; others is empty when nothing else moves.
    before, after : close-ups, or None where no view shows the border.
    """

    title: str
    change: str
    outcome: str
    others: str
    before: Image.Image | None
    after: Image.Image | None


@dataclass(frozen=True, eq=False)
class ReadingPage:
    """All that the page shows.

    squint : what the figure is at a squint, in words.
    verdicts : under each of the conditions, the first one decides.
    letters : area -> letter on the maps.
    pictures : (heading, caption, picture) each, in order.
    mends : advice, weakest pair first.
    unmended : sentences on the pairs that no change of drops lifts.
    mended : what --mend wrote, in words; empty without.
    """

    title: str
    figure: str
    squint: str
    verdicts: Sequence[Verdict]
    letters: Mapping[str, str]
    pictures: Sequence[tuple[str, str, Image.Image]]
    mends: Sequence[ShownMend]
    unmended: Sequence[str]
    mended: str = ""


def reading_page(page: ReadingPage) -> str:
    """The page as HTML that needs no other file and no network."""
    style = (_HERE / "reading_page.css").read_text(encoding="utf-8")
    script = (_HERE / "reading_page.js").read_text(encoding="utf-8")
    first = page.verdicts[0]
    title = html.escape(f"{page.title}: does it read?")
    parts = [
        "<!doctype html>",
        '<html lang="en"><head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{title}</title><style>{style}</style></head><body>",
        f"<h1>{title}</h1>",
        _lead(first.summary),
        _lead(page.squint),
        f'<p class="quiet">{html.escape(page.figure)}.<br>{html.escape(_light(first))}</p>',
        "<h2>Distances and eyes</h2>",
        _conditions_table(page.verdicts),
        *_grades_table(page.verdicts),
        *in_threads(_figure, page.pictures),
        "<h2>Pairs of neighbours</h2>",
        _pairs_table(first, page.letters),
        *_advice(page),
        *_list("Notes", first.notes),
        *_list("How far to trust the grades", caveats_on(*(v.conditions for v in page.verdicts))),
        f"<script>{script}</script></body></html>",
    ]
    return "\n".join(parts) + "\n"


def _lead(words: str) -> str:
    """A sentence up front."""
    return f'<p class="lead">{html.escape(words)}</p>' if words else ""


def _light(verdict: Verdict) -> str:
    """The light in words."""
    one = verdict.conditions
    return (
        f"{one.lux:g} lx of {one.illuminant}, the eye adapted to {verdict.luminance:.0f} cd/m²; "
        "the paint alone, matt."
    )


def _conditions_table(verdicts: Sequence[Verdict]) -> str:
    """How many pairs have each grade, and how much border reads, under each of the conditions."""
    head = "".join(f'<th class="n">{grade.word}</th>' for grade in Grade)
    rows = []
    for verdict in verdicts:
        counted = [pair for pair in verdict.pairs if not pair.minor]
        cells = "".join(
            f'<td class="n">{sum(pair.grade is grade for pair in counted)}</td>' for grade in Grade
        )
        share = verdict.readable_share
        told = "–" if share is None else f"{100 * share:.0f} %"
        bar = "" if share is None else f'<div class="bar"><i style="width:{100 * share:.0f}%"></i>'
        rows.append(
            f"<tr><td>{html.escape(verdict.conditions.name)}</td>{cells}"
            f'<td class="n">{told}</td><td>{bar}{"</div>" if bar else ""}</td></tr>'
        )
    return (
        f'<div class="scroll"><table><thead><tr><th>seen</th>{head}'
        f'<th class="n">border that reads</th><th></th></tr></thead>'
        f"<tbody>{''.join(rows)}</tbody></table></div>"
    )


def _grades_table(verdicts: Sequence[Verdict]) -> list[str]:
    """Each pair's grade under each of the conditions; nothing when there is one alone."""
    counted = [pair for pair in verdicts[0].pairs if not pair.minor]
    if len(verdicts) < 2 or not counted:
        return []
    head = "".join(
        f'<th><span role="button" tabindex="0">{html.escape(v.conditions.name)}</span></th>'
        for v in verdicts
    )
    rows = []
    for pair in counted:
        cells = "".join(_grade_cell(v.pair_of(pair.part, pair.ground)) for v in verdicts)
        rows.append(f'<tr><td class="name">{html.escape(pair.name)}</td>{cells}</tr>')
    return [
        "<details><summary>Every pair under each of them</summary>",
        '<div class="scroll"><table class="sortable"><thead><tr>'
        f'<th><span role="button" tabindex="0">pair</span></th>{head}</tr></thead>',
        f"<tbody>{''.join(rows)}</tbody></table></div></details>",
    ]


def _grade_cell(pair: Pair | None) -> str:
    """A pair's grade under some conditions, a dash where it is not in sight."""
    if pair is None:
        return '<td data-key="-1">–</td>'
    return (
        f'<td class="grade" data-key="{int(pair.grade)}">{_pen(pair.grade)}{pair.grade.word}</td>'
    )


_COLUMNS = (
    ("pair", ""),
    ("grade", ""),
    ("×\N{NO-BREAK SPACE}threshold", "n"),
    ("width\N{NO-BREAK SPACE}′", "n"),
    ("mm", "n"),
    ("ΔL* left", "n"),
    ("ΔL* met", "n"),
    ("hue ΔE00", "n"),
    ("border mm", "n"),
    ("reads %", "n"),
    ("what would help", ""),
)


def _pairs_table(verdict: Verdict, letters: Mapping[str, str]) -> str:
    """Every pair that counts, sortable."""
    head = "".join(
        f'<th class="{kind}"><span role="button" tabindex="0">{html.escape(name)}</span></th>'
        for name, kind in _COLUMNS
    )
    rows = "".join(_pair_row(pair, letters) for pair in verdict.pairs if not pair.minor)
    if not rows:
        return f"<p>{html.escape(verdict.summary)}</p>"
    return (
        f'<div class="scroll"><table class="sortable"><thead><tr>{head}</tr></thead>'
        f"<tbody>{rows}</tbody></table></div>"
    )


def _pair_row(pair: Pair, letters: Mapping[str, str]) -> str:
    """One row of the table."""
    numbers = (
        (pair.visibility, 1),
        (pair.width_arcmin, 1),
        (pair.width_mm, 2),
        (pair.step, 1),
        (pair.meeting.lightness_step, 0),
        (pair.hue, 0),
        (pair.lengths.visible_mm, 1),
        (100 * pair.readable_share, 0),
    )
    cells = "".join(
        f'<td class="n" data-key="{value:.6g}">{value:.{digits}f}</td>' for value, digits in numbers
    )
    both = "".join(
        f'<span class="letter">{letters[name]}</span>' for name in (pair.part, pair.ground)
    )
    name = html.escape(pair.name)
    help_words = " ".join(words for words in (pair.hue_note, pair.advice) if words) or "–"
    return (
        f'<tr><td class="name" data-key="{name}">{both} {name}</td>'
        f'<td data-key="{int(pair.grade)}" class="grade">{_pen(pair.grade)}{pair.grade.word}'
        f"{'<br><small>accent</small>' if pair.accent else ''}</td>{cells}"
        f'<td class="help">{html.escape(help_words)}</td></tr>'
    )


def _pen(grade: Grade) -> str:
    """The line of a grade as on the maps."""
    pen = PENS[grade]
    red, green, blue = pen.colour
    dash = f' stroke-dasharray="{max(pen.on, 0.01):g} {pen.off:g}"' if pen.off else ""
    return (
        '<svg width="52" height="10" aria-hidden="true"><line x1="5" y1="5" x2="47" y2="5" '
        f'stroke="rgb({red},{green},{blue})" stroke-width="{pen.width:g}" '
        f'stroke-linecap="round"{dash}/></svg>'
    )


def _advice(page: ReadingPage) -> list[str]:
    """The changes, each with its close-ups."""
    if not page.mends and not page.unmended:
        return []
    parts = ["<h2>What a few drops would do</h2>"]
    parts.append(
        '<p class="quiet">For each pair the smallest change of drops in one step of one ramp that '
        "lifts it as far as any does, taken alone, and lowers no other pair.</p>"
    )
    if page.mended:
        parts.append(f"<p>{html.escape(page.mended)}</p>")
    parts.append('<div class="mends">')
    parts += in_threads(_mend, page.mends)
    parts.append("</div>")
    return [*parts, *(f"<p>{html.escape(sentence)}</p>" for sentence in page.unmended)]


def _mend(mend: ShownMend) -> str:
    """One change."""
    pictures = ""
    if mend.before is not None and mend.after is not None:
        two = "".join(
            f"<figure>{_image(picture, alt)}<figcaption>{alt}</figcaption></figure>"
            for picture, alt in ((mend.before, "before"), (mend.after, "after"))
        )
        pictures = f'<div class="two">{two}</div>'
    others = f'<p class="quiet">{html.escape(mend.others)}</p>' if mend.others else ""
    return (
        f'<div class="mend"><h3>{html.escape(mend.title)}</h3><p>{html.escape(mend.change)}</p>'
        f"{pictures}<p>{html.escape(mend.outcome)}</p>{others}</div>"
    )


def _figure(shown: tuple[str, str, Image.Image]) -> str:
    """A picture with its heading."""
    heading, caption, picture = shown
    below = f"<figcaption>{html.escape(caption)}</figcaption>" if caption else ""
    return f"<h2>{html.escape(heading)}</h2><figure>{_image(picture, heading)}{below}</figure>"


def _image(picture: Image.Image, alt: str) -> str:
    """A picture inside the page."""
    return (
        f'<img alt="{html.escape(alt)}" width="{picture.width}" height="{picture.height}" '
        f'src="{webp_address(picture)}">'
    )


def _list(heading: str, sentences: Sequence[str]) -> list[str]:
    """A headed list, or nothing."""
    if not sentences:
        return []
    items = "".join(f"<li>{html.escape(sentence)}</li>" for sentence in sentences)
    return [f"<h2>{html.escape(heading)}</h2><ul>{items}</ul>"]
