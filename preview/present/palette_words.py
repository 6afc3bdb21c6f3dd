"""What sheets and tables say of paints on the circle and of pairs, in the same words."""

from __future__ import annotations

from collections.abc import Sequence

from preview.mix.neutral import ComplementVerdict, Neutral
from preview.mix.undertone import DARK_LIGHTNESS
from preview.palette.pairs import Pairs
from preview.palette.standing import Standing
from preview.rack.paint import Certainty

VERDICTS: dict[ComplementVerdict, str] = {
    "complementary": "complements",
    "near": "nearly complements",
    "not": "no complements",
    "can't tell": "can't tell",
}

# Before the numbers of an estimate; calibrated and measured ones are written out.
SIGNS: dict[Certainty, str] = {"estimate": "≈", "calibrated": "calibrated", "measured": "measured"}


def degrees_in_words(angle_deg: float) -> str:
    """A whole angle from 0° to 359°."""
    return f"{round(angle_deg) % 360}°"


def hue_in_words(one: Standing) -> str:
    """Where a paint stands: "red-orange 41°", "neutral"."""
    if one.place.side == "neutral":
        return "neutral"
    return f"{one.place.hue} {degrees_in_words(one.place.wheel_deg)}"


def side_in_words(one: Standing) -> str:
    """Warm or cold, and whether only just."""
    if one.place.side == "neutral":
        return "neutral"
    return one.place.side + (", borderline" if one.place.borderline else "")


def sure_in_words(one: Standing) -> str:
    """How sure a paint's place is, and what it leaves open."""
    more = []
    if one.tint is not None:
        more.append(f"by its tint 1:{one.tint.white_drops}")
    if one.undertone_unknown:
        more.append("undertone unknown")
    if not one.mixes_as_pigments:
        more.append("metallic")
    return ", ".join([one.certainty, *more])


def may_hide_a_hue(one: Standing) -> bool:
    """Whether a swatch is so dark that one cannot tell a black from a strong colour."""
    dark = float(one.mix.lab[0]) < DARK_LIGHTNESS
    return dark and one.kind == "neutral" and one.certainty == "estimate"


def neutral_in_words(neutral: Neutral) -> str:
    """What is left in the most neutral mix: "C* 2.6  L* 37  h 111°"."""
    hue = degrees_in_words(neutral.hue_deg)
    return f"C* {neutral.chroma:.1f}  L* {neutral.lightness:.0f}  h {hue}"


def verdict_in_words(neutral: Neutral) -> str:
    """Whether two paints are complements, and how sure that is."""
    return f"{VERDICTS[neutral.verdict]}, {neutral.mix.certainty}"


def circle_notes(standings: Sequence[Standing]) -> list[str]:
    """What there is to know of a rack's circle, in plain sentences."""
    sides = [one.place.side for one in standings]
    notes = []
    if all(side == "neutral" for side in sides):
        notes.append("All paints of this rack are neutral: none has a place on the circle.")
    else:
        notes += [f"No paint of this rack is {s}." for s in ("warm", "cold") if s not in sides]
    hued = [one for one in standings if one.kind in ("colour", "brown")]
    if len(hued) == 1:
        notes.append(f"{hued[0].name} is the only colour: nothing is opposite.")
    pale = [one.name for one in standings if one.kind == "pale" and one.place.side != "neutral"]
    if pale:
        notes.append(f"Pale, so no opposite is sought: {', '.join(pale)}.")
    if any(one.tint is not None for one in standings):
        notes.append(
            "A brown stands by the hue of its tint with a white without hue, as the model predicts "
            "it; its C* and h_ab are those of the pot."
        )
    if any(one.undertone_unknown for one in standings):
        notes.append(
            "Undertone unknown: a dark swatch hides which hue the paint turns to in mixes; paint "
            "one tint of it with white and calibrate it."
        )
    if any(may_hide_a_hue(one) for one in standings):
        notes.append(
            "A dark neutral may hide a strong hue, as Prussian blue (PB27) does: see what a tint "
            "of it shows."
        )
    if any(not one.mixes_as_pigments for one in standings):
        notes.append("Metallic flakes do not mix as pigments do: their mixes are not predicted.")
    return notes


def pairs_notes(found: Pairs) -> list[str]:
    """What there is to know of a rack's pairs, in plain sentences."""
    notes = [pairs_told(found)]
    if found.pale is None:
        notes.append("The rack has no off-white, so nothing is lightened and no grey is sought.")
    elif found.pale.place.chroma < 3.0:
        notes.append(f"Lightened with {found.pale.name}, a pure white: there is no off-white.")
    if found.left_out:
        notes.append(f"Left out, since metallic flakes mix otherwise: {', '.join(found.left_out)}.")
    if any(pair.neutral.verdict == "can't tell" for pair in found.pairs):
        notes.append(
            "Can't tell: from swatches alone the chroma may come out 10 too high; mix these drops "
            "and look, or calibrate both paints."
        )
    return notes


def pairs_told(found: Pairs) -> str:
    """How many pairs are shown of how many, and in which order."""
    told, count = len(found.pairs), found.count
    rest = count - told
    if not rest:
        return f"All {count} pairs, the widest span first."
    return f"The {told} pairs of widest span; {rest} of {count} are left out, --top tells more."
