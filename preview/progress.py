"""What a long step may say while it works; silent unless somebody listens."""

from __future__ import annotations

from typing import Protocol


class Progress(Protocol):
    """A listener: called with the step's title, how much is done, and how much there is."""

    def __call__(self, step: str, done: int, total: int) -> None: ...


def silent(step: str, done: int, total: int) -> None:
    """Listen to nothing."""
