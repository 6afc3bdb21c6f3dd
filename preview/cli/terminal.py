"""What the commands say: results on standard output, all else on standard error."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping, Sequence
from typing import Any

import typer

from preview.progress import Progress, silent


def listener(quiet: bool) -> Progress:
    """A progress line on a terminal; a line per step elsewhere; nothing when quiet."""
    if quiet:
        return silent
    return _Bar() if sys.stderr.isatty() else _Lines()


def say(words: str = "") -> None:
    """A line for people, on standard error."""
    typer.echo(words, err=True)


def tell(words: str) -> None:
    """A line of the result, on standard output."""
    typer.echo(words)


def tell_table(head: Sequence[str], rows: Sequence[Sequence[str]], numbers: str = "") -> None:
    """Rows of the result under their heads, on standard output, as wide as they need.

    Parameters
    ----------
    head : what each column holds.
    numbers : for each column "r" to end at the right, as numbers do, or any other letter.
    """
    wide = [max(len(row[k]) for row in (head, *rows)) for k in range(len(head))]
    for row in (head, *rows):
        cells = [
            cell.rjust(w) if numbers[k : k + 1] == "r" else cell.ljust(w)
            for k, (cell, w) in enumerate(zip(row, wide, strict=True))
        ]
        tell("  ".join(cells).rstrip())


def tell_json(report: Mapping[str, Any]) -> None:
    """The result as JSON, on standard output."""
    typer.echo(json.dumps(report, indent=2, ensure_ascii=False))


class _Bar:
    """Redraws one line: what is done of the step, as a bar."""

    def __call__(self, step: str, done: int, total: int) -> None:
        filled = 24 * done // max(total, 1)
        line = f"\r{step:<30.30} {'█' * filled}{'·' * (24 - filled)} {done}/{total}"
        typer.echo(line + "\x1b[K", nl=done >= total, err=True)


class _Lines:
    """One line at the end of each step, for logs."""

    def __call__(self, step: str, done: int, total: int) -> None:
        if done >= total:
            typer.echo(f"{step}: {total} done", err=True)
