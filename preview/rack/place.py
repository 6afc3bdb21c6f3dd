"""Where a value of a rack file stands, and the faults found so far."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from preview.errors import Fault, choices_fix


@dataclass(frozen=True)
class Place:
    """A place such as `rack.toml, paint[3] "bone white"`, and the list all places share."""

    where: str
    faults: list[Fault] = field(default_factory=list)

    def at(self, part: str) -> Place:
        """A place inside this one."""
        return Place(f"{self.where}, {part}", self.faults)

    def fault(self, what: str, fix: str = "") -> None:
        """Keep one fault that stands here."""
        self.faults.append(Fault(what, self.where, fix))


def check_keys(place: Place, table: Mapping[str, object], valid: Iterable[str]) -> None:
    """Fault every key that nothing reads."""
    known = list(valid)
    for key in table:
        if key not in known:
            place.fault(f'unknown key "{key}"', choices_fix(key, known))


def text_of(place: Place, table: Mapping[str, object], key: str, otherwise: str = "") -> str:
    """A text, or `otherwise` when the key is left out or faulty."""
    value = table.get(key, otherwise)
    if isinstance(value, str):
        return value
    place.fault(f"{key} must be a text in quotes, got {shown(value)}", f'write {key} = "..."')
    return otherwise


def word_of(
    place: Place, table: Mapping[str, object], key: str, words: tuple[str, ...], otherwise: str
) -> str:
    """One of a few words, or `otherwise` when the key is left out or faulty."""
    value = text_of(place, table, key, otherwise)
    if key in table and value not in words:
        place.fault(f'{key} cannot be "{value}"', choices_fix(value, words))
        return otherwise
    return value


def numbers_of(place: Place, key: str, value: object, counts: tuple[int, ...]) -> list[float]:
    """A list of finite numbers of one of the lengths given; empty when faulty."""
    if (
        isinstance(value, list)
        and len(value) in counts
        and all(is_finite_number(number) for number in value)
    ):
        return [float(number) for number in value]
    wanted = " or ".join(str(count) for count in counts)
    place.fault(f"{key} must be a list of {wanted} numbers, got {shown(value)}")
    return []


def is_finite_number(value: object) -> bool:
    """Whether a TOML value is a finite number; true and false are none."""
    return (
        isinstance(value, (int, float))
        and not isinstance(value, bool)
        and abs(value) < 1e12
        and math.isfinite(value)
    )


def shown(value: object) -> str:
    """A value as a message shows it, shortened."""
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "..."
