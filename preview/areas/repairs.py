"""What was mended, counted while it happens and told in one sentence each."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Repair:
    """One kind of repair: "left out", 3, "face", "without area"."""

    did: str
    number: int
    noun: str
    which: str


def told(repairs: Iterable[Repair]) -> tuple[str, ...]:
    """One sentence for each kind of repair, repairs of one kind added up, in order."""
    sums: dict[tuple[str, str, str], int] = {}
    for repair in repairs:
        key = (repair.did, repair.noun, repair.which)
        sums[key] = sums.get(key, 0) + repair.number
    return tuple(
        f"{did} {counted(number, noun)} {which}" for (did, noun, which), number in sums.items()
    )


def counted(number: int, noun: str) -> str:
    """The number with its noun, in the singular or plural: "1 face", "1,200 faces"."""
    return f"{number:,} {noun}" if number == 1 else f"{number:,} {noun}s"
