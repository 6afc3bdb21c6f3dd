"""Painted light as a scheme asks for it: a rig by name, or its own numbers."""

from __future__ import annotations

from dataclasses import replace

from preview.light.lightmap import Rig
from preview.light.rigs import DEFAULT_RIG, RIGS
from preview.ramp.reading import Place, check_keys, read_choice, read_number, read_table

LIKE = "like"
OWN = "the scheme's own"
RANGES = {
    "sky": (0.0, 100.0),
    "key": (0.0, 100.0),
    "key_azimuth_deg": (-360.0, 360.0),
    "key_elevation_deg": (-90.0, 90.0),
    "recess": (0.0, 100.0),
    "edge": (0.0, 100.0),
    "relief_mm": (0.0, 100.0),
    "spread": (0.0, 1.0),
}
_ABOVE_LOW = ("key_elevation_deg", "relief_mm")


def read_rig(place: Place, value: object) -> Rig:
    """The rig of a scheme; faults are kept at their places.

    None is the usual rig. A text names one of the rigs that ship. A table sets numbers of its
    own, the others as in the rig that `like` names, or as in the usual one.
    """
    if value is None:
        return RIGS[DEFAULT_RIG]
    if not isinstance(value, dict):
        return RIGS[read_choice(place, value, RIGS, "rig") or DEFAULT_RIG]
    table = read_table(place, value)
    check_keys(place, table, (LIKE, *RANGES))
    base = DEFAULT_RIG
    if LIKE in table:
        base = read_choice(place.at(LIKE), table[LIKE], RIGS, "rig") or DEFAULT_RIG
    numbers = {
        key: read_number(place.at(key), table[key], low, high, above_low=key in _ABOVE_LOW)
        for key, (low, high) in RANGES.items()
        if key in table
    }
    own = {key: number for key, number in numbers.items() if number is not None}
    rig = replace(RIGS[base], name=OWN, **own)
    if rig.sky == rig.key == 0:
        place.fault("the rig has no light: sky and key are both 0", "set one of them above 0")
    return rig
