"""Whose eyes look: their age, and what colours they miss."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from preview.errors import Fault, UsageError, choices_fix
from preview.judge.eye import ClosedFormEye
from preview.optics.colour_vision import linear_seen_with
from preview.settings import AGE, DEFICIENCIES, Deficiency

NORMAL = "normal"

_WORD = re.compile(r"(?P<name>[a-z]+)?[: ]?(?P<number>[0-9.]+)?")


@dataclass(frozen=True)
class Eyes:
    """One viewer.

    age_years : in [18, 80].
    deficiency : "protan", "deutan", "tritan", or None for normal colour vision.
    severity : in [0, 1]; 1 is a missing cone. Without deficiency it means nothing.

    Raises
    ------
    UsageError : a value out of its range or no number.
    """

    age_years: float = AGE.default
    deficiency: Deficiency | None = None
    severity: float = 1.0

    def __post_init__(self) -> None:
        AGE.check(self.age_years)
        if not 0.0 <= self.severity <= 1.0:
            raise UsageError(
                f"severity must be from 0 to 1, got {self.severity:g}", "--eyes", "deutan:0.6"
            )

    @property
    def name(self) -> str:
        """In words, such as "normal", "deutan 0.6" or "protan, age 60"."""
        words = []
        if self.deficiency:
            part = "" if self.severity == 1.0 else f" {self.severity:g}"
            words.append(f"{self.deficiency}{part}")
        if self.age_years != AGE.default:
            words.append(f"age {self.age_years:g}")
        return ", ".join(words) or NORMAL

    @property
    def observer(self) -> ClosedFormEye:
        """How much contrast these eyes need."""
        return ClosedFormEye(age_years=self.age_years)

    def see(self, linear: ArrayLike) -> NDArray[np.float64]:
        """(..., 3) linear sRGB of what is left of (..., 3) linear sRGB to these eyes."""
        if self.deficiency is None:
            return np.asarray(linear, np.float64)
        return linear_seen_with(linear, self.deficiency, self.severity)


def read_eyes(text: str) -> Eyes:
    """Eyes from words such as "normal", "60", "deutan", "protan:0.6" or "deutan:0.6,age:60".

    Raises
    ------
    UsageError : a word or a number that means nothing; all at once.
    """
    age: float | None = None
    deficiency: Deficiency | None = None
    severity = 1.0
    faults: list[Fault] = []
    for word in text.lower().split(","):
        found = _WORD.fullmatch(word.strip())
        name, number = (found["name"], _number(found["number"])) if found else (word, None)
        if name in DEFICIENCIES:
            if deficiency is not None:
                faults.append(_twice(word.strip(), "deficiency", text))
            deficiency = DEFICIENCIES[DEFICIENCIES.index(name)]
            severity = 1.0 if number is None else number
        elif name in (None, "age") and number is not None:
            if age is not None:
                faults.append(_twice(word.strip(), "age", text))
            age = number
        elif name != NORMAL or number is not None:
            faults.append(_unknown(word.strip()))
    if faults:
        raise UsageError.of(faults)
    return Eyes(AGE.default if age is None else age, deficiency, severity)


def _number(text: str | None) -> float | None:
    """The number that a text writes, or None."""
    try:
        return None if text is None else float(text)
    except ValueError:
        return None


def _twice(word: str, kind: str, text: str) -> Fault:
    """What to say of a word that gives one viewer a second age or deficiency."""
    return Fault(
        f'--eyes "{text}" gives one viewer a second {kind}, {word}',
        "command line",
        "repeat --eyes for each viewer, such as --eyes 20 --eyes 70",
    )


def _unknown(word: str) -> Fault:
    """What to say of a word that means nothing."""
    valid = [NORMAL, *DEFICIENCIES, "age"]
    fix = choices_fix(word.split(":")[0], valid) + "; such as deutan:0.6 or deutan,age:60"
    return Fault(f'--eyes "{word}" is unknown', "command line", fix)
