"""One paint's reflectance from a measurement file, checked."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from preview.errors import Fault, RackFault, choices_fix
from preview.optics.spectrum import WAVELENGTHS_NM, Floats
from preview.rack.cgats_iso28178 import curves_from_cgats, looks_like_cgats
from preview.rack.csv_curves import curves_from_csv
from preview.rack.curves import Curves
from preview.rack.regrid import on_grid
from preview.rack.text_file import read_text_file

_WIDEST_GAP_NM = 20.0
_PERCENT_FIX = "write 0.04 for 4 %; values above 1 usually mean percent was meant"


def read_measured(path: Path, sample: str, where: str) -> Floats:
    """The reflectance of one sample at 400-700 nm by 10 nm.

    Parameters
    ----------
    path : CSV or CGATS text.
    sample : which sample of the file; may be empty when it holds one alone.
    where : the paint that asks, for messages.

    Returns
    -------
    (31,) unitless in (0, 1].

    Raises
    ------
    RackFault : the file cannot be read, the sample is not in it, 400-700 nm is not covered, or
        values are not reflectances; every bad band is named.
    """
    text = read_text_file(path, "reflectance file", where)
    place = f"{where}, {path.name}"
    reader = curves_from_cgats if looks_like_cgats(text) else curves_from_csv
    curves = reader(text, place)
    values = curves.values[_row_of(curves, sample, place)]
    _check_grid(curves.wavelength_nm, place)
    _check_values(curves.wavelength_nm, values, place)
    return on_grid(curves.wavelength_nm, values)


def _row_of(curves: Curves, sample: str, place: str) -> int:
    """Which row holds the sample asked for."""
    if not sample:
        if len(curves.values) == 1:
            return 0
        raise RackFault(
            f"this file holds {len(curves.values)} samples",
            place,
            f'choose one with sample = "...": {_listed(curves.names)}',
        )
    found = [row for row, name in enumerate(curves.names) if name == sample]
    if len(found) == 1:
        return found[0]
    if found:
        raise RackFault(f'{len(found)} samples are called "{sample}"', place, "rename them")
    raise RackFault(f'no sample "{sample}"', place, choices_fix(sample, curves.names[:30]))


def _listed(names: tuple[str, ...]) -> str:
    """The first of the samples' names."""
    return ", ".join(names[:12]) + (", ..." if len(names) > 12 else "")


def _check_grid(nm: Floats, place: str) -> None:
    """Raise when the curve does not cover the visible range closely enough."""
    if nm[0] > WAVELENGTHS_NM[0] or nm[-1] < WAVELENGTHS_NM[-1]:
        raise RackFault(
            f"readings run from {nm[0]:g} to {nm[-1]:g} nm; 400 to 700 nm are needed",
            place,
            "measure or export the whole visible range",
        )
    steps = np.diff(nm)
    if np.any(steps <= 0):
        raise RackFault("a wavelength stands twice", f"{place}, {nm[int(np.argmin(steps))]:g} nm")
    if float(steps.max()) > _WIDEST_GAP_NM:
        start = nm[int(np.argmax(steps))]
        raise RackFault(
            f"no reading within {steps.max():g} nm", f"{place}, {start:g} nm", "20 nm at most"
        )


def _check_values(nm: Floats, values: Floats, place: str) -> None:
    """Raise for every visible band whose value is no reflectance."""
    visible = (nm >= WAVELENGTHS_NM[0]) & (nm <= WAVELENGTHS_NM[-1])
    if np.median(values[visible]) > 1.0:
        raise RackFault(
            f"reflectance must be above 0 and at most 1, got up to {values[visible].max():g}",
            place,
            "percent was meant: divide every value by 100",
        )
    faults = [
        Fault(
            f"reflectance must be above 0 and at most 1, got {value:g}",
            f"{place}, {wavelength:g} nm",
            _PERCENT_FIX if value > 1 else "measure again with the instrument's black calibrated",
        )
        for wavelength, value in zip(nm[visible], values[visible], strict=True)
        if not 0.0 < value <= 1.0
    ]
    if faults:
        raise RackFault.of(faults)
