"""From a reflectance to tristimulus values: one shipped 31 x 3 table per lamp and observer."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Literal

import numpy as np

from preview.errors import UsageError, choices_fix
from preview.optics.spectrum import Floats

Observer = Literal[2, 10]

# Our name of each lamp -> its name in colour-science (CIE 15:2018 for the LEDs).
ILLUMINANTS = {
    "D65": "D65",
    "D50": "D50",
    "A": "A",
    "warm-led": "LED-B1",
    "cool-led": "LED-B5",
}
TABLES: tuple[tuple[str, Observer], ...] = (
    ("D65", 2),
    ("D65", 10),
    ("D50", 2),
    ("D50", 10),
    ("A", 2),
    ("warm-led", 2),
    ("cool-led", 2),
)


def table_path(illuminant: str, observer: int) -> Path:
    """Where the table of this lamp and observer stands."""
    return Path(__file__).parent / "tables" / f"{illuminant.lower()}-{observer}deg.txt"


@cache
def weights(illuminant: str = "D65", observer: Observer = 2) -> Floats:
    """Tristimulus weights of a lamp and observer, by ASTM E308.

    Parameters
    ----------
    illuminant : "D65", "D50", "A", "warm-led" (CIE LED-B1, 2733 K) or "cool-led" (CIE LED-B5,
        6598 K).
    observer : degrees, 2 (CIE 1931) or 10 (CIE 1964; for D65 and D50 alone).

    Returns
    -------
    (31, 3) unitless, read-only; the columns sum to the lamp's white, Y = 1.

    Raises
    ------
    UsageError : there is no table for this pair.
    """
    if (illuminant, observer) not in TABLES:
        valid = [name for name, degrees in TABLES if degrees == observer] or ["2 or 10 degrees"]
        raise UsageError(
            f'no table for lamp "{illuminant}" and the {observer} degree observer',
            fix=choices_fix(illuminant, valid),
        )
    table: Floats = np.loadtxt(table_path(illuminant, observer), encoding="utf-8")
    table.setflags(write=False)
    return table


@cache
def white(illuminant: str = "D65", observer: Observer = 2) -> Floats:
    """(3,) tristimulus values of the perfect white under a lamp, Y = 1; read-only."""
    total: Floats = weights(illuminant, observer).sum(axis=0)
    total.setflags(write=False)
    return total
