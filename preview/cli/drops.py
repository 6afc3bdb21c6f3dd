"""Drops on the command line: "paint=2"."""

from __future__ import annotations

from collections.abc import Sequence

from preview.errors import Fault, UsageError


def read_drops(parts: Sequence[str]) -> dict[str, int]:
    """Paint name -> drops, from words such as "rust orange=2"; all faults at once.

    Raises
    ------
    UsageError : a word has no "=", no paint, no whole number of drops, or repeats a paint.
    """
    drops: dict[str, int] = {}
    faults = []
    for part in parts:
        name, equals, count = part.rpartition("=")
        name = name.strip()
        if not equals or not name:
            faults.append(Fault(f'"{part}" is not PAINT=DROPS', "command line", 'such as "soot=1"'))
        elif not count.strip().isascii() or not count.strip().isdigit() or int(count) == 0:
            what = f'"{count.strip()}" is not a whole number of drops above 0'
            faults.append(Fault(what, f'command line, "{part}"', "count drops: 1, 2, 3 …"))
        elif name in drops:
            faults.append(Fault(f'"{name}" is named twice', "command line", "add its drops up"))
        else:
            drops[name] = int(count)
    if faults:
        raise UsageError.of(faults)
    return drops
