"""Curves from CGATS text, as handheld spectrophotometers export it (ISO 28178)."""

from __future__ import annotations

import re
import shlex

import numpy as np

from preview.errors import RackFault
from preview.rack.curves import Curves

# SPECTRAL_NM400, SPECTRAL_NM_400, NM_400, SPEC_400, SPECTRAL_400, R_400NM and the like.
_FIELD = re.compile(r"(?:SPECTRAL_|SPEC_|R_)?(?:NM_?)?(\d{3,4}(?:\.\d+)?)(?:NM)?", re.IGNORECASE)
_NAMES = ("SAMPLE_NAME", "SAMPLE_ID", "SAMPLEID", "SAMPLE_LOC", "STRING")
# Readings above this are percent: a paint's reflectance is at most 1.
_MOST_AS_SHARE = 1.5
FIX = "export the measurement again with spectral reflectance, 400-700 nm"


def looks_like_cgats(text: str) -> bool:
    """Whether a text has CGATS's table of data."""
    return "BEGIN_DATA_FORMAT" in text and re.search(r"^\s*BEGIN_DATA\s*$", text, re.M) is not None


def curves_from_cgats(text: str, where: str) -> Curves:
    """Read the spectral fields of a CGATS file; readings in percent are divided by 100.

    Parameters
    ----------
    text : the file's text; its first table is read.
    where : the file, for messages.

    Raises
    ------
    RackFault : no spectral fields, or a row that does not fit them.

    References
    ----------
    ISO 28178, Exchange format for colour and process control data using XML or ASCII text
    (field names as commonly exported; from memory).
    """
    fields = _between(text, "BEGIN_DATA_FORMAT", "END_DATA_FORMAT", where)
    names = [field for line in fields for field in _cells(line)]
    bands = [(place, _band(name)) for place, name in enumerate(names) if _band(name) is not None]
    if not bands:
        raise RackFault("this CGATS file has no spectral fields", where, FIX)
    rows = [_cells(line) for line in _between(text, "BEGIN_DATA", "END_DATA", where)]
    for number, row in enumerate(rows, start=1):
        if len(row) != len(names):
            raise RackFault(
                f"a row has {len(row)} values for {len(names)} fields",
                f"{where}, data row {number}",
                FIX,
            )
    if not rows:
        raise RackFault("this CGATS file has no data rows", where, FIX)
    bands.sort(key=lambda band: band[1] or 0.0)
    values = np.array([[_reading(row, place, where) for place, _ in bands] for row in rows])
    if float(values.max()) > _MOST_AS_SHARE:
        values = values / 100.0
    return Curves(np.array([nm for _, nm in bands]), _sample_names(names, rows), values)


def _between(text: str, begin: str, end: str, where: str) -> list[str]:
    """The lines of the first section between two keywords."""
    lines = [line.strip() for line in text.splitlines()]
    try:
        start = lines.index(begin)
        return [line for line in lines[start + 1 : lines.index(end, start)] if line]
    except ValueError as error:
        raise RackFault(f"the section {begin} ... {end} is not complete", where, FIX) from error


def _cells(line: str) -> list[str]:
    """The values of a line: apart by tabs, or by blanks with quotes around texts."""
    if "\t" in line:
        return [cell.strip().strip('"') for cell in line.split("\t")]
    try:
        return shlex.split(line)
    except ValueError:
        return line.split()


def _band(name: str) -> float | None:
    """The wavelength in nm that a field stands for."""
    match = _FIELD.fullmatch(name)
    return float(match[1]) if match else None


def _reading(row: list[str], place: int, where: str) -> float:
    """One reading as a number; decimal commas are understood."""
    try:
        return float(row[place].replace(",", "."))
    except ValueError as error:
        raise RackFault(f'reflectance must be a number, got "{row[place]}"', where, FIX) from error


def _sample_names(names: list[str], rows: list[list[str]]) -> tuple[str, ...]:
    """What each row is called, by the first field that names samples."""
    upper = [name.upper() for name in names]
    for field in _NAMES:
        if field in upper:
            return tuple(row[upper.index(field)] for row in rows)
    return ("",) * len(rows)
