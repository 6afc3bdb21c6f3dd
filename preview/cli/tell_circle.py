"""What fourpot circle says: a table of places, a table of opposites, or JSON."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from preview.cli.summary import tell_notes_and_pictures
from preview.cli.terminal import say, tell, tell_json, tell_table
from preview.palette.opposites import Opposites
from preview.palette.standing import Standing
from preview.present.palette_words import (
    VERDICTS,
    degrees_in_words,
    hue_in_words,
    side_in_words,
    sure_in_words,
)


def tell_circle(
    standings: Sequence[Standing],
    opposites: Sequence[Opposites],
    report: Mapping[str, Any],
    out: Path | None,
    as_json: bool,
) -> None:
    """Where each paint stands, and what stands opposite in three meanings."""
    if as_json:
        tell_json(report)
        return
    tell_table(
        ("paint", "on the circle", "h_ab", "C*", "L*", "side", "warmth", "how sure"),
        [_row(one) for one in standings],
        "llrrrlr",
    )
    if opposites:
        tell("")
        tell_table(
            ("paint", "across the circle", "across in CIELAB", "most neutral with", "drops",
             "C*", "L*", "h_ab", "so they are", "how sure"),
            [_opposites_row(one) for one in opposites],
            "llllrrrr",
        )  # fmt: skip
        say("Drops are of the paint in its row : of the other. Three opposites, seldom the same:")
        say("across the circle is taught, across in CIELAB is seen, the most neutral mix is paint.")
    say("Warmth (Ou et al. 2004) says which is warmer; warm and cold halves are common practice.")
    tell_notes_and_pictures(report, out)


def _row(one: Standing) -> tuple[str, ...]:
    """One paint as a row of the table."""
    return (
        one.name,
        hue_in_words(one),
        degrees_in_words(one.hue_deg),
        f"{one.place.chroma:.0f}",
        f"{one.mix.lab[0]:.0f}",
        side_in_words(one),
        f"{one.warmth:.2f}",
        sure_in_words(one),
    )


def _opposites_row(one: Opposites) -> tuple[str, ...]:
    """The three opposites of one paint as a row of the table."""
    across = [
        "none" if found is None else f"{found.name}, {found.off_deg:.0f}° off"
        for found in (one.circle, one.cielab)
    ]
    if one.mixing is None:
        return one.name, *across, "none", "", "", "", "", "", ""
    neutral = one.mixing.neutral
    first, second = neutral.drops
    return (
        one.name,
        *across,
        one.mixing.name,
        f"{first}:{second}",
        f"{neutral.chroma:.1f}",
        f"{neutral.lightness:.0f}",
        degrees_in_words(neutral.hue_deg),
        VERDICTS[neutral.verdict],
        neutral.mix.certainty,
    )
