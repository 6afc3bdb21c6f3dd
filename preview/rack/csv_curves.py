"""Curves from comma-separated text: a column per sample, or a row per sample."""

from __future__ import annotations

import csv
import io
import math

import numpy as np

from preview.errors import RackFault
from preview.rack.curves import Curves

FIX = (
    'write two columns "wavelength,reflectance", or one row per sample under a header row '
    "with the wavelengths in nm"
)
_SHORTEST_NM, _LONGEST_NM = 200.0, 2600.0


def curves_from_csv(text: str, where: str) -> Curves:
    """Read comma-, semicolon- or tab-separated curves; lines that begin with # are skipped.

    Parameters
    ----------
    text : the file's text. Either a column of wavelengths with a column per sample beside it
        (a header row names the samples), or a header row with the wavelengths and then a row
        per sample (the first column that is no wavelength names it).
    where : the file, for messages.

    Raises
    ------
    RackFault : the text is no such table, or a cell is no number.
    """
    rows = _rows(text)
    if len(rows) < 2:
        raise RackFault("there is no table of reflectances in this file", where, FIX)
    header = rows[0]
    columns = [place for place, cell in enumerate(header) if _wavelength(cell) is not None]
    if len(columns) >= 6:
        return _row_per_sample(header, columns, rows[1:], where)
    return _column_per_sample(rows, where)


def _rows(text: str) -> list[list[str]]:
    """The cells of all lines that hold any, without comments."""
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    head = lines[0] if lines else ""
    separator = max(",;\t", key=head.count)
    table = csv.reader(io.StringIO("\n".join(lines)), delimiter=separator)
    return [[cell.strip() for cell in row] for row in table]


def _number(cell: str) -> float | None:
    """The finite number in a cell."""
    try:
        value = float(cell)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def _wavelength(cell: str) -> float | None:
    """The wavelength in nm in a cell such as "400", "400.0" or "400 nm"."""
    value = _number(cell.lower().removesuffix("nm").strip())
    return value if value is not None and _SHORTEST_NM <= value <= _LONGEST_NM else None


def _row_per_sample(
    header: list[str], columns: list[int], rows: list[list[str]], where: str
) -> Curves:
    """Curves that lie in rows."""
    labels = [place for place in range(len(header)) if place not in columns]
    nm = np.array([_wavelength(header[place]) or 0.0 for place in columns])
    order = np.argsort(nm, kind="stable")
    names = tuple(row[labels[0]] if labels and labels[0] < len(row) else "" for row in rows)
    values = np.array(
        [
            [_value(row, columns[k], f"{where}, row {line}, {nm[k]:g} nm") for k in order]
            for line, row in enumerate(rows, start=2)
        ]
    )
    return Curves(nm[order], names, values)


def _column_per_sample(rows: list[list[str]], where: str) -> Curves:
    """Curves that lie in columns."""
    named = _wavelength(rows[0][0]) is None
    width = len(rows[0])
    if width < 2:
        raise RackFault("there is no table of reflectances in this file", where, FIX)
    names = tuple(rows[0][1:]) if named else ("",) * (width - 1)
    body = rows[1:] if named else rows
    nm = []
    for line, row in enumerate(body, start=2 if named else 1):
        value = _wavelength(row[0])
        if value is None:
            raise RackFault(f'"{row[0]}" is no wavelength in nm', f"{where}, row {line}", FIX)
        nm.append(value)
    grid = np.array(nm)
    order = np.argsort(grid, kind="stable")
    values = np.array(
        [
            [_value(body[k], column, f"{where}, {nm[k]:g} nm") for k in order]
            for column in range(1, width)
        ]
    )
    return Curves(grid[order], names, values)


def _value(row: list[str], place: int, where: str) -> float:
    """The reflectance in one cell."""
    cell = row[place] if place < len(row) else ""
    value = _number(cell)
    if value is None:
        raise RackFault(f'reflectance must be a number, got "{cell}"', where, FIX)
    return value
