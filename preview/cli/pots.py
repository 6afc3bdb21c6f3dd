"""Pots and a mid-tone on the command line: by role, from a rack or from a scheme."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from preview.cli.drops import read_drops
from preview.errors import Fault, UsageError, choices_fix
from preview.rack.load import load_rack
from preview.rack.paint import Rack
from preview.ramp.load import load_scheme
from preview.ramp.pots import read_pots
from preview.ramp.reading import Place, read_toml
from preview.ramp.steps import MOST_DROPS
from preview.ramp.words import ROLES, Role

_WHERE = "command line"


def pots_of(
    name: str, words: Sequence[str], racks: Sequence[Path]
) -> tuple[Rack, Mapping[Role, str]]:
    """The rack and the pots that a command is about.

    Parameters
    ----------
    name : a rack, or a scheme file, whose pots are taken.
    words : for a rack, its pots, such as "cold=deep sea blue".

    Raises
    ------
    UsageError : no pots for a rack, pots for a scheme, or pots that are none; all at once.
    FileFault : the rack or the scheme is wrong.
    """
    path = Path(name)
    if path.is_file() and "pots" in read_toml(path):
        if words:
            raise UsageError("a scheme has its own pots", f"{_WHERE}, --pots", "leave --pots out")
        scheme = load_scheme(path, racks)
        return scheme.rack, scheme.pots
    rack = load_rack(name, folders=racks)
    if not words:
        fix = 'add --pots "warm=a paint" --pots "cold=a paint" --pots "pale=a paint"'
        raise UsageError("no pots were named", _WHERE, fix)
    place = Place(_WHERE)
    table: dict[str, object] = {}
    for word in words:
        role, equals, paint = (part.strip() for part in word.partition("="))
        if not equals or not role or not paint:
            place.fault(
                f'"{word}" does not say which role the pot has',
                f'write ROLE=PAINT, such as --pots "cold=deep sea blue"; roles: {", ".join(ROLES)}',
            )
        elif role in table:
            place.fault(f"{role} is named twice", "leave one of the two out")
        else:
            table[role] = paint
    pots = read_pots(place, table, rack) if table else {}
    if place.faults:
        raise UsageError.of(place.faults)
    return rack, pots


def midtone_of(words: Sequence[str], pots: Mapping[Role, str]) -> dict[Role, int]:
    """Drops of a mid-tone whose pots are named by role or by paint.

    Raises
    ------
    UsageError : a pot is none of these or is named twice, or drops are none; all at once.
    """
    role_of: dict[str, Role] = {name: role for role, name in pots.items()}
    role_of |= {str(role): role for role in pots}
    drops: dict[Role, int] = {}
    faults = []
    for word, count in read_drops(words).items():
        where = f'{_WHERE}, "{word}={count}"'
        role = role_of.get(word)
        if role is None:
            fix = choices_fix(word, [*pots, *pots.values()])
            faults.append(Fault(f'"{word}" is none of the pots', where, fix))
        elif role in drops:
            faults.append(Fault(f"the {role} pot is named twice", where, "add its drops up"))
        elif count > MOST_DROPS:
            what = f"a mid-tone has at most {MOST_DROPS} drops of a pot, got {count}"
            faults.append(Fault(what, where, "give the same ratio in fewer drops"))
        else:
            drops[role] = count
    if faults:
        raise UsageError.of(faults)
    return drops
