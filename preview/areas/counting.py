"""Numbers in sentences."""

from __future__ import annotations


def counted(number: int, noun: str) -> str:
    """The number with its noun, in the singular or plural: "1 face", "1,200 faces"."""
    return f"{number:,} {noun}" if number == 1 else f"{number:,} {noun}s"
