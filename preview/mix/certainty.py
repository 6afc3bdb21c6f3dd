"""How sure a mix is, in numbers and words: what such predictions showed on measured mixes."""

from __future__ import annotations

from preview.mix.mixture import Mix
from preview.rack.paint import Certainty

# Median CIEDE2000 of mixes predicted from swatches, against the measured oil tints (about 10 %
# and 50 % of nine paints in white; calibrated on the one, the other is foretold). All were mixed
# with white; no mixes of two colours were measured. A test works these numbers out again.
MEDIAN_ERROR: dict[Certainty, float] = {"calibrated": 2.4, "estimate": 7.3}


def median_error(mix: Mix) -> float | None:
    """Median CIEDE2000 of mixes that are as sure as this one; None for a pot alone."""
    return None if len(mix.recipe) == 1 else MEDIAN_ERROR.get(mix.certainty)


def certainty_in_words(mix: Mix) -> str:
    """How sure a mix is: "estimate (half of such mixes were within 7.3 ΔE00)"."""
    if len(mix.recipe) == 1:
        return "the pot as measured" if mix.certainty == "measured" else "the pot as swatched"
    return f"{mix.certainty} ({class_in_words(mix.certainty)})"


def class_in_words(certainty: Certainty) -> str:
    """What a class of predictions showed: "half of such mixes were within 7.3 ΔE00"."""
    return f"half of such mixes were within {MEDIAN_ERROR[certainty]:g} ΔE00"
