"""The measured oil tints as racks, and what is foretold of one tint by the other.

Geldof, Proano Gaibor, Ligterink, Hendriks & Kirchner 2018, Heritage Science 6:17 (CC0 1.0).
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np

from preview.mix.calibrate import Dilution, tint_errors
from preview.mix.calibration import calibrate
from preview.optics.appearance import hex_from_reflectance, lab_from_reflectance
from preview.optics.spectrum import Floats
from preview.optics.srgb_iec61966 import lab_from_hex
from preview.rack.load import load_rack
from preview.rack.paint import Paint, Rack

FILE = Path(__file__).parent / "reference" / "oil_films_geldof_2018.csv"
PAINTS = ("04", "05", "06", "09", "10", "11", "12", "13", "14")
WHITE = "07A"


def films() -> dict[str, tuple[float, Floats]]:
    """Film -> share of paint by mass, (31,) reflectance."""
    with FILE.open(encoding="utf-8") as stream:
        rows = csv.DictReader(line for line in stream if not line.startswith("#"))
        return {
            row["film"]: (
                float(row["paint_percent"]) / 100.0,
                np.array([float(row[str(nm)]) for nm in range(400, 701, 10)]),
            )
            for row in rows
        }


FILMS = films()


def swatch_rack(folder: Path) -> Rack:
    """White and the nine paints by 8-bit swatches alone."""
    entries = [
        f'[[paint]]\nname = "{film}"\nsrgb = "{hex_from_reflectance(FILMS[film][1])}"\n'
        for film in (WHITE, *(paint + "A" for paint in PAINTS))
    ]
    (folder / "oils.toml").write_text("\n".join(entries), encoding="utf-8")
    return load_rack(folder / "oils.toml")


def measured_rack(folder: Path) -> Rack:
    """The same paints by their measured spectra, from the file as it is."""
    entries = [
        f'[[paint]]\nname = "{film}"\nreflectance = "{FILE}"\nsample = "{film}"\n'
        for film in (WHITE, *(paint + "A" for paint in PAINTS))
    ]
    (folder / "measured.toml").write_text("\n".join(entries), encoding="utf-8")
    return load_rack(folder / "measured.toml")


def dilution(rack: Rack, film: str, swatch: bool = True) -> Dilution:
    """A tint as an 8-bit swatch, or as it was measured."""
    share, reflectance = FILMS[film]
    lab = lab_from_hex(hex_from_reflectance(reflectance)) if swatch else None
    measured = lab_from_reflectance(reflectance)
    return Dilution(rack.paints[WHITE], share, measured if lab is None else lab)


def foretold(rack: Rack, calibrated: bool) -> Floats:
    """(18,) CIEDE2000 of each paint's ~10 % and ~50 % tint, foretold from the respective other."""
    errors = []
    for own, other in (("B", "C"), ("C", "B")):
        for paint in PAINTS:
            pot: Paint = rack.paints[paint + "A"]
            if calibrated:
                pot = calibrate(pot, [dilution(rack, paint + other)], [paint + other]).paint
            errors.append(tint_errors(pot, [dilution(rack, paint + own, swatch=False)])[0])
    return np.array(errors)
