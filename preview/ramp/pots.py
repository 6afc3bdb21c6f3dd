"""The pots and the primer of a scheme file, against the rack that they come from."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Literal, cast

import numpy as np

from preview.errors import choices_fix, nearest
from preview.optics.cie1976_lab import xyz_from_lab
from preview.optics.lhtss_burns_2020 import reflectance_from_xyz
from preview.optics.spectrum import BANDS
from preview.optics.srgb_iec61966 import lab_from_hex
from preview.optics.weights import white
from preview.rack.paint import Rack
from preview.ramp.reading import Place, check_keys, read_table, read_text, shown
from preview.ramp.scheme import Primer
from preview.ramp.words import MAIN_POTS, MAIN_ROLES, ROLES, Role

# Neutral sprays of about L* 94, 57 and 22; common practice, no source.
PRIMERS = {"white": 0.85, "grey": 0.25, "black": 0.035}
DEFAULT_PRIMER = "grey"
_HEX = re.compile(r"#[0-9a-fA-F]{6}")


def read_pots(place: Place, value: object, rack: Rack | None) -> dict[Role, str]:
    """Role -> paint of the rack; faults are kept at their places.

    A role whose paint or spelling is wrong is kept, so that the steps which use it raise no
    second fault.
    """
    table = read_table(place, value)
    check_keys(place, table, ROLES)
    pots: dict[Role, str] = {}
    for role in ROLES:
        if role in table:
            pots[role] = read_text(place.at(role), table[role]) or ""
            _check_paint(place.at(role), pots[role], rack)
    for word in table:
        meant = cast("Role | Literal['']", nearest(word, ROLES))
        if word not in ROLES and meant and meant not in pots:
            pots[meant] = read_text(place.at(word), table[word]) or ""
    _check_count(place, pots)
    _check_twice(place, pots)
    return pots


def _check_paint(place: Place, name: str, rack: Rack | None) -> None:
    """Fault a paint that the rack does not have."""
    if name and rack is not None and name not in rack.paints:
        place.fault(f'the rack "{rack.name}" has no paint "{name}"', choices_fix(name, rack.paints))


def _check_count(place: Place, pots: Mapping[Role, str]) -> None:
    """Fault no pot at all, and an accent that has no freed place."""
    main = [role for role in MAIN_ROLES if role in pots]
    if not main:
        place.fault("the scheme has no pots", 'name at least one, such as warm = "rust orange"')
    if len(main) > MAIN_POTS:
        place.at("accent").fault(
            f"an accent takes a freed place, and none of the {MAIN_POTS} is free",
            "leave out accent, or the brown when warm and cold mix to a neutral",
        )


def _check_twice(place: Place, pots: Mapping[Role, str]) -> None:
    """Fault one paint in two pots."""
    first: dict[str, Role] = {}
    for role, name in pots.items():
        if name and name in first:
            place.at(role).fault(
                f'"{name}" is the {first[name]} pot already', "leave one of the two out"
            )
        first.setdefault(name, role)


def read_primer(place: Place, value: object, rack: Rack | None) -> Primer:
    """The primer: a usual spray, a hex colour, or a paint of the rack."""
    name = read_text(place, value) or DEFAULT_PRIMER
    if _HEX.fullmatch(name):
        return Primer(name, reflectance_from_xyz(xyz_from_lab(lab_from_hex(name), white()))[0])
    if name in PRIMERS:
        return Primer(name, np.full(BANDS, PRIMERS[name]))
    if rack is None:
        return Primer(name, np.full(BANDS, PRIMERS[DEFAULT_PRIMER]))
    if name in rack.paints:
        return Primer(name, rack.paints[name].reflectance)
    place.fault(
        f"unknown primer {shown(name)}",
        f"{choices_fix(name, (*PRIMERS, *rack.paints))}, or a colour such as #8a8d8f",
    )
    return Primer(DEFAULT_PRIMER, np.full(BANDS, PRIMERS[DEFAULT_PRIMER]))
