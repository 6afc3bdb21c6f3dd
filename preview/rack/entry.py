"""One [[paint]] of a rack file, checked and completed with what is assumed."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import cast

import numpy as np

from preview.errors import RackFault
from preview.optics.cie1976_lab import xyz_from_lab
from preview.optics.lhtss_burns_2020 import reflectance_from_xyz
from preview.optics.spectrum import BANDS, Floats
from preview.optics.srgb_iec61966 import lab_from_hex
from preview.optics.weights import Observer, white
from preview.rack.defaults import default_scattering, scattering_from_curve, surface_of
from preview.rack.measured import read_measured
from preview.rack.paint import Certainty, Finish, Hiding, Origin, Paint
from preview.rack.place import Place, check_keys, is_finite_number, numbers_of, text_of, word_of

COLOURS = ("srgb", "lab", "reflectance")
KEYS = (
    "name",
    *COLOURS,
    "white",
    "observer",
    "specular",
    "sample",
    "pigments",
    "hiding",
    "finish",
    "stock_ml",
    "origin",
    "note",
    "scattering",
)
_GOES_WITH = {"white": "lab", "observer": "lab", "specular": "reflectance", "sample": "reflectance"}


def read_paint(place: Place, table: Mapping[str, object], folder: Path) -> Paint | None:
    """One paint; None after a fault that leaves none.

    Parameters
    ----------
    place : where the table stands; collects the faults.
    table : the entry as TOML gives it.
    folder : where reflectance files are looked for.
    """
    before = len(place.faults)
    check_keys(place, table, KEYS)
    name = _name(place, table)
    hiding = word_of(
        place, table, "hiding", ("opaque", "semi", "transparent", "unknown"), "unknown"
    )
    finish = word_of(place, table, "finish", ("matt", "satin", "gloss", "metallic"), "matt")
    measured = "reflectance" in table
    origin = word_of(
        place,
        table,
        "origin",
        ("measured", "swatch", "guess"),
        "measured" if measured else "swatch",
    )
    reflectance = _reflectance(place, table, folder)
    scattering = _scattering(place, table)
    stock = _stock(place, table)
    pigments = _pigments(place, table)
    note = text_of(place, table, "note")
    specular = word_of(place, table, "specular", ("included", "excluded"), "included")
    if reflectance is None or len(place.faults) > before:
        return None
    k1, k2 = surface_of(reflectance, specular if measured else "swatch")
    calibrated = scattering is not None
    certainty: Certainty = "calibrated" if calibrated else "estimate"
    if measured and origin == "measured":
        certainty = "measured"
    return Paint(
        name=name,
        reflectance=reflectance,
        scattering=(
            scattering
            if scattering is not None
            else default_scattering(reflectance, cast(Hiding, hiding))
        ),
        surface_k1=k1,
        surface_k2=k2,
        origin=cast(Origin, origin),
        certainty=certainty,
        hiding=cast(Hiding, hiding),
        finish=cast(Finish, finish),
        pigments=pigments,
        stock_ml=stock,
        note=note,
        calibrated=calibrated,
    )


def _name(place: Place, table: Mapping[str, object]) -> str:
    """The paint's name."""
    name = text_of(place, table, "name")
    if "name" not in table:
        place.fault("a paint needs a name", 'write name = "..."')
    elif isinstance(table["name"], str) and (not name.strip() or "=" in name):
        place.fault(
            f'"{name}" cannot be a name', 'a name is not empty and holds no "=", which mixes use'
        )
    return name


def _reflectance(place: Place, table: Mapping[str, object], folder: Path) -> Floats | None:
    """The paint's reflectance, from whichever way its colour is given."""
    given = [key for key in COLOURS if key in table]
    if len(given) != 1:
        what = "no colour is given" if not given else f"{' and '.join(given)} are both given"
        place.fault(what, "give one of srgb, lab or reflectance")
        return None
    for key, owner in _GOES_WITH.items():
        if key in table and owner not in table:
            place.fault(f"{key} goes with {owner}, which is not given", f"leave {key} out")
    if given[0] == "srgb":
        return _from_srgb(place, text_of(place, table, "srgb"))
    if given[0] == "lab":
        return _from_lab(place, table)
    file, sample = text_of(place, table, "reflectance"), text_of(place, table, "sample")
    if not file:
        return None
    try:
        return read_measured(folder / file, sample, place.where)
    except RackFault as error:
        place.faults.extend(error.faults)
        return None


def _from_srgb(place: Place, text: str) -> Floats | None:
    """A smooth reflectance that looks like an sRGB swatch under D65."""
    try:
        lab = lab_from_hex(text)
    except ValueError as error:
        place.fault(str(error), 'write srgb = "#rrggbb", such as "#8a4b2f"')
        return None
    curve, _ = _smooth_reflectance((float(lab[0]), float(lab[1]), float(lab[2])), "D65", 2)
    return curve


@lru_cache(maxsize=1024)
def _smooth_reflectance(
    lab: tuple[float, float, float], lamp: str, observer: Observer
) -> tuple[Floats, bool]:
    """A read-only smooth reflectance of a colour, and whether there is one."""
    xyz = xyz_from_lab(lab, white(lamp, observer))
    curve, found = reflectance_from_xyz(xyz, lamp, observer)
    curve.setflags(write=False)
    return curve, bool(found)


def _from_lab(place: Place, table: Mapping[str, object]) -> Floats | None:
    """A smooth reflectance with the CIELAB values given."""
    lab = numbers_of(place, "lab", table["lab"], (3,))
    lamp = word_of(place, table, "white", ("D65", "D50"), "D65")
    degrees = table.get("observer", 2)
    if degrees not in (2, 10) or isinstance(degrees, bool):
        place.fault(f"observer must be 2 or 10 degrees, got {degrees}")
        return None
    if not lab:
        return None
    observer: Observer = 10 if degrees == 10 else 2
    curve, found = _smooth_reflectance((lab[0], lab[1], lab[2]), lamp, observer)
    if not (0.0 <= lab[0] <= 100.0 and found):
        place.fault(
            f"no paint can have the colour lab = {lab}", "check the values, L* first, and the white"
        )
        return None
    return curve


def _scattering(place: Place, table: Mapping[str, object]) -> Floats | None:
    """Calibrated scattering: three numbers of its curve, or a value for every band."""
    if "scattering" not in table:
        return None
    numbers = numbers_of(place, "scattering", table["scattering"], (3, BANDS))
    if not numbers:
        return None
    if len(numbers) == BANDS:
        values = np.array(numbers)
    elif max(abs(number) for number in numbers) <= 20.0:
        values = scattering_from_curve(numbers[0], numbers[1], numbers[2])
    else:
        values = np.zeros(BANDS)
    if not np.all(values > 0.0):
        place.fault(
            "scattering must be three numbers from -20 to 20, or 31 values above 0",
            "leave it out, or let the calibration write it",
        )
        return None
    return values


def _stock(place: Place, table: Mapping[str, object]) -> float | None:
    """How much of the paint there is, in ml."""
    value = table.get("stock_ml")
    if value is None:
        return None
    if is_finite_number(value) and cast(float, value) >= 0:
        return float(cast(float, value))
    place.fault(f"stock_ml must be a number of at least 0, got {value}")
    return None


def _pigments(place: Place, table: Mapping[str, object]) -> tuple[str, ...]:
    """Colour Index Generic Names."""
    value = table.get("pigments", [])
    if isinstance(value, list) and all(isinstance(name, str) for name in value):
        return tuple(value)
    place.fault("pigments must be a list of texts", 'write pigments = ["PB29"]')
    return ()
