"""A TOML file read with care: every value by its key path, every fault kept until the end."""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from preview.errors import Fault, SchemeFault, choices_fix
from preview.files import typed
from preview.settings import MESH_SUFFIXES

MOST_BYTES = 1_000_000
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")


@dataclass(frozen=True)
class Place:
    """Where in a file a value stands, such as `storm-watch.toml, ramps.oilskin.highlight[1].pal`.

    file : the name of the file.
    path : key path from the top of the file; entries of a list are counted from 1.
    faults : the list that all places of one file share.
    """

    file: str
    path: str = ""
    faults: list[Fault] = field(default_factory=list)

    def at(self, key: str) -> Place:
        """The place of a key of the table that stands here."""
        shown = key if _BARE_KEY.fullmatch(key) else '"' + key.replace('"', '\\"') + '"'
        return Place(self.file, f"{self.path}.{shown}" if self.path else shown, self.faults)

    def entry(self, number: int) -> Place:
        """The place of the n-th entry, counted from 1, of the list that stands here."""
        return Place(self.file, f"{self.path}[{number}]", self.faults)

    @property
    def where(self) -> str:
        """File and key path, as a message shows them."""
        return f"{self.file}, {self.path}" if self.path else self.file

    def fault(self, what: str, fix: str = "") -> None:
        """Keep one fault of the value that stands here."""
        self.faults.append(Fault(what, self.where, fix))


def read_toml(path: Path) -> dict[str, object]:
    """The top table of a TOML file.

    Raises
    ------
    SchemeFault : the file is missing, a folder, too large, not UTF-8 or not TOML.
    """
    where = str(path)
    fix = "give the path of a scheme file, such as storm-watch.toml"
    try:
        if path.is_dir():
            raise SchemeFault("a folder is not a scheme file", where, fix)
        if path.exists() and not path.is_file():
            raise SchemeFault("this is no ordinary file, so no scheme file", where, fix)
        if path.suffix.lower() in MESH_SUFFIXES and path.exists():
            begin = f"begin one with: fourpot start {typed(path)} --rack harbour"
            raise SchemeFault("this is a mesh, not a scheme", where, begin)
        with path.open("rb") as stream:
            data = stream.read(MOST_BYTES + 1)
    except FileNotFoundError as error:
        raise SchemeFault("there is no such scheme file", where, _beside_fix(path)) from error
    except (OSError, ValueError) as error:
        raise SchemeFault(f"the scheme file cannot be read: {error}", where, fix) from error
    if len(data) > MOST_BYTES:
        raise SchemeFault(
            f"a scheme file is at most {MOST_BYTES // 1000} kB; this one is larger", where, fix
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise SchemeFault(
            f"the scheme file is not UTF-8 text (byte {error.start + 1})",
            where,
            "save it as UTF-8 in your editor, or check that it is a scheme file at all",
        ) from error
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        said = "nested too deeply" if isinstance(error, RecursionError) else str(error)
        raise SchemeFault(
            f"the scheme file is not valid TOML: {said}",
            where,
            'texts stand in quotes, as in title = "Storm watch"; tables begin with [name]',
        ) from error


def _beside_fix(path: Path) -> str:
    """Scheme files that stand where the missing one was looked for."""
    beside = sorted(p.name for p in path.parent.glob("*.toml")) if path.parent.is_dir() else []
    return choices_fix(path.name, beside) if beside else "check the path"


def is_whole(value: object) -> bool:
    """Whether a TOML value is a whole number; TOML's true and false are not."""
    return isinstance(value, int) and not isinstance(value, bool)


def check_keys(place: Place, table: Mapping[str, object], allowed: Iterable[str]) -> None:
    """Fault every key that nothing would read."""
    valid = list(allowed)
    for key in table:
        if key not in valid:
            place.at(key).fault(f'unknown key "{key}"', choices_fix(key, valid))


def read_table(place: Place, value: object) -> dict[str, object]:
    """The table that stands here; a fault and an empty one when it is none."""
    if isinstance(value, dict):
        return value
    place.fault(f"must be a table, got {shown(value)}", "write a [table] or { key = value }")
    return {}


def read_text(place: Place, value: object) -> str | None:
    """The text that stands here; a fault and None when it is none, empty, or holds a NUL."""
    if isinstance(value, str) and value.strip() and "\0" not in value:
        return value
    place.fault(f"must be a text in quotes, got {shown(value)}")
    return None


def read_choice(place: Place, value: object, choices: Iterable[str], what: str) -> str | None:
    """One of a few words; a fault with the nearest and None when it is another."""
    valid = list(choices)
    if isinstance(value, str) and value in valid:
        return value
    word = value if isinstance(value, str) else ""
    place.fault(f"unknown {what} {shown(value)}", choices_fix(word, valid))
    return None


def read_number(
    place: Place, value: object, low: float, high: float, *, above_low: bool = False
) -> float | None:
    """A number in [low, high], or in (low, high]; a fault and None when it is another."""
    number = value if isinstance(value, int | float) and not isinstance(value, bool) else math.nan
    if (low < number if above_low else low <= number) and number <= high:
        return float(number)
    least = "above" if above_low else "at least"
    place.fault(f"must be a number {least} {low:g} and at most {high:g}, got {shown(value)}")
    return None


def shown(value: object) -> str:
    """A value as a message shows it: short, and as TOML would write it."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return f"a list of {len(value)}"
    text = f'"{value}"' if isinstance(value, str) else str(value)
    return text if len(text) <= 60 else text[:56] + " ..."
