"""One [[paint]] of a rack file, checked and completed with what is assumed."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import cast

import numpy as np

from preview.optics.spectrum import BANDS, Floats
from preview.rack.colour import COLOUR_KEYS, read_colour
from preview.rack.defaults import default_scattering, scattering_from_curve, surface_of
from preview.rack.paint import Certainty, Finish, Hiding, Origin, Paint
from preview.rack.place import Place, check_keys, is_finite_number, numbers_of, text_of, word_of
from preview.rack.tints import read_tints

KEYS = (
    "name",
    *COLOUR_KEYS,
    "specular",
    "pigments",
    "hiding",
    "finish",
    "stock_ml",
    "origin",
    "note",
    "scattering",
    "tints",
)


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
    reflectance = read_colour(place, table, folder)
    scattering = _scattering(place, table)
    stock = _stock(place, table)
    pigments = _pigments(place, table)
    note = text_of(place, table, "note")
    specular = word_of(place, table, "specular", ("included", "excluded"), "included")
    if "specular" in table and not measured:
        place.fault("specular goes with reflectance, which is not given", "leave specular out")
    tints = read_tints(place, table, folder)
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
        tints=tints,
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
