"""What fourpot circle says: a table of places, a table of opposites, or JSON."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from preview.cli.terminal import say, tell, tell_json, tell_table
from preview.mix.neutral import Neutral
from preview.palette.opposites import Across, Opposites
from preview.palette.standing import Standing
from preview.present.palette_words import (
    VERDICTS,
    circle_notes,
    degrees_in_words,
    hue_in_words,
    side_in_words,
    sure_in_words,
)
from preview.rack.paint import Rack


def tell_circle(
    rack: Rack,
    standings: Sequence[Standing],
    opposites: Sequence[Opposites],
    pictures: Sequence[str],
    out: Path | None,
    as_json: bool,
) -> None:
    """Where each paint stands, and what stands opposite in three meanings."""
    if as_json:
        tell_json(circle_report(rack, standings, opposites, pictures))
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
    for note in circle_notes(standings):
        say(note)
    if out is not None:
        for name in pictures:
            say(f"picture    {out / name}")


def circle_report(
    rack: Rack,
    standings: Sequence[Standing],
    opposites: Sequence[Opposites],
    pictures: Sequence[str],
) -> dict[str, Any]:
    """The circle for JSON."""
    return {
        "rack": rack.name,
        "paints": [standing_report(one) for one in standings],
        "opposites": [
            {
                "name": one.name,
                "on_the_circle": _across_report(one.circle),
                "in_cielab": _across_report(one.cielab),
                "mixing_to_neutral": None
                if one.mixing is None
                else {"name": one.mixing.name, **neutral_report(one.mixing.neutral)},
            }
            for one in opposites
        ],
        "notes": circle_notes(standings),
        "pictures": list(pictures),
    }


def standing_report(one: Standing) -> dict[str, Any]:
    """One paint on the circle for JSON."""
    place, tint = one.place, one.tint
    return {
        "name": one.name,
        "kind": one.kind,
        "side": place.side,
        "borderline": place.borderline,
        "hue": None if place.side == "neutral" else place.hue,
        "wheel_deg": None if place.side == "neutral" else round(place.wheel_deg, 2),
        "hue_deg": round(one.hue_deg, 2),
        "chroma": round(place.chroma, 3),
        "lightness": round(float(one.mix.lab[0]), 3),
        "srgb": one.mix.srgb,
        "warmth": round(one.warmth, 3),
        "tint": None
        if tint is None
        else {
            "white_drops": tint.white_drops,
            "hue_deg": round(place.hue_deg, 2),
            "srgb": tint.mix.srgb,
        },
        "certainty": one.certainty,
        "undertone_unknown": one.undertone_unknown,
        "metallic": not one.mixes_as_pigments,
    }


def neutral_report(neutral: Neutral) -> dict[str, Any]:
    """The most neutral mix of two for JSON."""
    return {
        "drops": list(neutral.drops),
        "chroma": round(neutral.chroma, 3),
        "lightness": round(neutral.lightness, 3),
        "hue_deg": round(neutral.hue_deg, 2),
        "srgb": neutral.mix.srgb,
        "verdict": neutral.verdict,
        "certainty": neutral.mix.certainty,
    }


def _across_report(across: Across | None) -> dict[str, Any] | None:
    """A paint across for JSON."""
    return None if across is None else {"name": across.name, "off_deg": round(across.off_deg, 2)}


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
