"""What can go wrong, said as what / where / how to mend it, each with its exit code.

Exit codes: 0 fine, 1 the check asked for did not pass, 2 the command line is wrong, 3 a file
that was given is wrong, 4 what was asked cannot be done with it, 5 it cannot be written,
6 this machine lacks something, 130 stopped by the user.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong: what, where it stands, and how to mend it."""

    what: str
    where: str = ""
    fix: str = ""

    def __str__(self) -> str:
        lines = [self.what]
        if self.where:
            lines.append(f"  where: {self.where}")
        if self.fix:
            lines.append(f"  fix:   {self.fix}")
        return "\n".join(lines)


class FourpotError(Exception):
    """Base of every error that a user can mend; carries one or more faults."""

    exit_code = 4

    def __init__(self, what: str = "", where: str = "", fix: str = "") -> None:
        self.faults: tuple[Fault, ...] = (Fault(what, where, fix),)
        super().__init__(str(self))

    @classmethod
    def of(cls, faults: Sequence[Fault]) -> FourpotError:
        """One error that tells all the faults at once; ValueError when there are none."""
        if not faults:
            raise ValueError("an error needs at least one fault")
        error = cls()
        error.faults = tuple(faults)
        error.args = (str(error),)
        return error

    def __str__(self) -> str:
        return "\n".join(str(fault) for fault in self.faults)


class UsageError(FourpotError):
    """The command line asks for something that does not exist or does not fit together."""

    exit_code = 2


class FileFault(FourpotError):
    """A file that was given is missing, is not what it should be, or says something wrong."""

    exit_code = 3


class RackFault(FileFault):
    """A rack file, or a reflectance file that it names, is wrong."""


class SchemeFault(FileFault):
    """A scheme file is wrong."""


class MeshFault(FileFault):
    """A mesh file is wrong."""


class MarksFault(FileFault):
    """A marks file is wrong, or does not fit the mesh."""


class PhotoFault(FileFault):
    """A photograph is missing, is none, or cannot be measured."""


class CannotDo(FourpotError):
    """The request is well formed, but cannot be met with what was given."""

    exit_code = 4


class WriteFault(FourpotError):
    """The result cannot be written where it was asked for."""

    exit_code = 5


class MachineFault(FourpotError):
    """This machine lacks something that was asked for, such as an OpenGL driver."""

    exit_code = 6


def nearest(word: str, choices: Iterable[str]) -> str:
    """The choice most like `word`, or "" when none is like it."""
    found = difflib.get_close_matches(word.lower(), [c.lower() for c in choices], n=1, cutoff=0.55)
    by_lower = {c.lower(): c for c in choices}
    return by_lower[found[0]] if found else ""


def choices_fix(word: str, choices: Iterable[str]) -> str:
    """A remedy for an unknown word: the nearest valid one first, then all of them."""
    valid = list(choices)
    near = nearest(word, valid)
    listed = f"valid: {in_quotes(valid)}"
    return f'did you mean "{near}"? {listed}' if near else listed


def in_quotes(names: Iterable[str]) -> str:
    """Names in a row, each in quotes, since a name may hold commas; "none" where there are none."""
    return ", ".join(f'"{name}"' for name in names) or "none"
