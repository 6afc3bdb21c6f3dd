"""A colour as rack files give it: sRGB, CIELAB, or a measured reflectance."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

from preview.errors import RackFault
from preview.optics.cie1976_lab import xyz_from_lab
from preview.optics.lhtss_burns_2020 import reflectance_from_xyz
from preview.optics.spectrum import Floats
from preview.optics.srgb_iec61966 import lab_from_hex
from preview.optics.weights import Observer, white
from preview.rack.measured import read_measured
from preview.rack.place import Place, numbers_of, text_of, word_of

COLOURS = ("srgb", "lab", "reflectance")
_GOES_WITH = {"white": "lab", "observer": "lab", "sample": "reflectance"}
COLOUR_KEYS = (*COLOURS, *_GOES_WITH)


def read_colour(place: Place, table: Mapping[str, object], folder: Path) -> Floats | None:
    """(31,) reflectance, from whichever way a colour is given; None after a fault.

    Parameters
    ----------
    place : where the table stands; collects the faults.
    table : with one of `srgb`, `lab` or `reflectance`, and what goes with it.
    folder : where reflectance files are looked for.
    """
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


def is_of_a_surface(
    lab: tuple[float, float, float], lamp: str = "D65", observer: Observer = 2
) -> bool:
    """Whether some surface, which sends back between none and all of the light, has a colour.

    Parameters
    ----------
    lab : CIELAB.
    lamp : of whose white it is.
    observer : degrees, 2 or 10.
    """
    return 0.0 <= lab[0] <= 100.0 and _smooth_reflectance(lab, lamp, observer)[1]


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
    colour = lab[0], lab[1], lab[2]
    if not is_of_a_surface(colour, lamp, observer):
        place.fault(
            f"no paint can have the colour lab = {lab}", "check the values, L* first, and the white"
        )
        return None
    return _smooth_reflectance(colour, lamp, observer)[0]
