"""A scheme file becomes a scheme: everything looked at, all faults told at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from preview.errors import RackFault, SchemeFault, choices_fix
from preview.rack.find import find_rack
from preview.rack.load import load_rack
from preview.rack.paint import Rack
from preview.ramp.build import RampDraft, build_ramp, by_rule, read_ramp
from preview.ramp.lamps import read_rig
from preview.ramp.pots import DEFAULT_PRIMER, read_pots, read_primer
from preview.ramp.reading import (
    Place,
    check_keys,
    read_number,
    read_table,
    read_text,
    read_toml,
    shown,
)
from preview.ramp.scheme import Scheme
from preview.ramp.words import ELSEWHERE, RESERVED, ROLES
from preview.settings import TURN

KEYS = (
    "title",
    "note",
    "rack",
    "primer",
    "pots",
    "ramps",
    "areas",
    "rig",
    "mesh",
    "turn",
    "marks",
)
NEEDED = ("rack", "pots", "ramps", "areas")


def load_scheme(path: str | Path, racks: Sequence[Path] = ()) -> Scheme:
    """The scheme of a TOML file, its ramps mixed from the rack that it names.

    Parameters
    ----------
    path : the scheme file.
    racks : folders in which racks are looked for, after the folder of the scheme itself and
        before the racks that ship.

    Returns
    -------
    The scheme; ramps are spectra still.

    Raises
    ------
    SchemeFault : the file cannot be read, or anything in it is wrong. All faults are told at
        once, each with its key path, such as `storm-watch.toml, ramps.oilskin.highlight[1].pal`
        (entries of a list are counted from 1), and with the nearest valid word.

    Notes
    -----
    Holds exactly: the order of the keys and the scale of the drops of a step change nothing.

    Examples
    --------
    >>> from preview.shipped import shipped
    >>> scheme = load_scheme(shipped("schemes", "storm-watch.toml"))
    >>> scheme.ramps["wool"].midtone.mix.recipe
    {'deep sea blue': 1, 'sailcloth': 3}
    """
    file = Path(path)
    table = read_toml(file)
    top = Place(file.name)
    check_keys(top, table, KEYS)
    for key in NEEDED:
        if key not in table:
            top.fault(f"{key} is missing", _missing_fix(key))
    rack = _read_rack(top.at("rack"), table["rack"], file, racks) if "rack" in table else None
    pots = (
        read_pots(top.at("pots"), table["pots"], rack)
        if "pots" in table
        else dict.fromkeys(ROLES, "")
    )
    primer = read_primer(top.at("primer"), table.get("primer", DEFAULT_PRIMER), rack)
    drafts = _read_ramps(top.at("ramps"), table.get("ramps", {}), frozenset(pots))
    areas = _read_areas(top.at("areas"), table.get("areas", {}), drafts)
    rig = read_rig(top.at("rig"), table.get("rig"))
    title, note = (_read_free_text(top, table, key) for key in ("title", "note"))
    meshes, marks = (_read_files(top, table, key, file.parent) for key in ("mesh", "marks"))
    turn = _read_turn(top, table)
    if top.faults or rack is None:
        raise SchemeFault.of(top.faults)
    drafts = [by_rule(draft, rack, pots) for draft in drafts]
    if top.faults:
        raise SchemeFault.of(top.faults)
    return Scheme(
        title=title or file.stem,
        path=file,
        rack=rack,
        pots=pots,
        primer=primer,
        ramps={draft.name: build_ramp(draft, rack, pots) for draft in drafts},
        areas={area: ramp for area, ramp in areas.items() if area != ELSEWHERE},
        elsewhere=areas.get(ELSEWHERE),
        rig=rig,
        meshes=meshes,
        turn_deg=turn,
        marks=marks[0] if marks else None,
        note=note,
    )


def _missing_fix(key: str) -> str:
    """How to write a key that is missing."""
    return {
        "rack": 'add rack = "harbour", the rack that the pots come from',
        "pots": 'add [pots] with warm, cold, pale and brown = "a paint of the rack"',
        "ramps": "add [ramps.coat] with midtone = { warm = 3, cold = 1 }",
        "areas": 'add [areas] with lines such as coat = "oilskin"',
    }[key]


def _read_rack(place: Place, value: object, file: Path, folders: Sequence[Path]) -> Rack | None:
    """The rack that the scheme names; the rack's own faults are told with those of the scheme."""
    name = read_text(place, value)
    if name is None:
        return None
    try:
        found = find_rack(name, file.parent, folders)
    except RackFault as error:
        for missing in error.faults:
            place.fault(f"{missing.what}; {missing.where}", missing.fix)
        return None
    try:
        return load_rack(found)
    except RackFault as error:
        place.faults.extend(error.faults)
        return None


def _read_ramps(place: Place, value: object, pots: frozenset[str]) -> list[RampDraft]:
    """All ramps, in the order of the file."""
    table = read_table(place, value)
    if not table and not place.faults:
        place.fault("the scheme has no ramps", "add [ramps.coat] with a midtone")
    drafts = []
    for name, entry in table.items():
        at = place.at(name)
        if name in RESERVED:
            at.fault(f'"{name}" is a reserved word', f'call the ramp "{name} ramp" or the like')
        drafts.append(read_ramp(at, name, read_table(at, entry), pots))
    return drafts


def _read_areas(place: Place, value: object, drafts: Sequence[RampDraft]) -> dict[str, str]:
    """Area -> ramp, `elsewhere` among them."""
    ramps = [draft.name for draft in drafts]
    areas: dict[str, str] = {}
    for area, ramp in read_table(place, value).items():
        if isinstance(ramp, str) and ramp in ramps:
            areas[area] = ramp
        else:
            word = ramp if isinstance(ramp, str) else ""
            place.at(area).fault(f"unknown ramp {shown(ramp)}", choices_fix(word, ramps))
    return areas


def _read_free_text(top: Place, table: Mapping[str, object], key: str) -> str:
    """A text that may be left out."""
    return (read_text(top.at(key), table[key]) or "") if key in table else ""


def _read_turn(top: Place, table: Mapping[str, object]) -> float:
    """How far the mesh is turned about the vertical, degrees."""
    if "turn" not in table:
        return TURN.default
    return read_number(top.at("turn"), table["turn"], TURN.low, TURN.high) or TURN.default


def _read_files(
    top: Place, table: Mapping[str, object], key: str, folder: Path
) -> tuple[Path, ...]:
    """Files that the scheme points at, from its own folder on; a mesh may be a list of parts."""
    if key not in table:
        return ()
    at, value = top.at(key), table[key]
    parts = value if isinstance(value, list) and value and key == "mesh" else [value]
    names = [read_text(at, part) for part in parts]
    return tuple(folder / name for name in names if name)
