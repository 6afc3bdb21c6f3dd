"""One [[mark]] of a marks file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from preview.areas.marks.model import (
    BELT,
    DISC,
    HEIGHTS,
    LOOKS_UP,
    OUTLINE,
    POINT,
    SHELL,
    STROKE,
    UNSURE,
    Mark,
    Spot,
)
from preview.areas.marks.values import number_in
from preview.rack.place import Place, check_keys, is_finite_number, numbers_of, shown

_SHAPES = (DISC, STROKE, BELT, OUTLINE, HEIGHTS, LOOKS_UP, SHELL)
_REACH = "reach"
_KEYS = ("area", "at", "normal", "view", "mirror", "below", "note", _REACH, *_SHAPES)
_SIZED = (DISC, STROKE, BELT, _REACH)
_WIDEST = 100.0
_HIGHEST = 2000.0


def read_mark(top: Place, number: int, entry: object) -> Mark:
    """A mark; what is wrong with it is added to the faults, and makes it unsure."""
    if not isinstance(entry, dict):
        top.at(f"mark[{number}]").fault(f"a mark is a table, got {shown(entry)}")
        return Mark("?", UNSURE, "")
    before = len(top.faults)
    mark = _read(top, number, entry)
    return mark if len(top.faults) == before else replace(mark, kind=UNSURE, mirror=False)


def _read(top: Place, number: int, entry: Mapping[str, object]) -> Mark:
    """A mark, with usual values where something is wrong."""
    area = entry.get("area")
    name = area if isinstance(area, str) and area.strip() else ""
    place = top.at(f'mark[{number}] "{name}"' if name else f"mark[{number}]")
    check_keys(place, entry, _KEYS)
    if not name:
        got = f", got {shown(area)}" if "area" in entry else ""
        place.fault(f"area must be a name in quotes{got}", 'write such as  area = "coat"')
    shapes = [key for key in _SHAPES if key in entry]
    if len(shapes) > 1:
        place.fault(f"a mark has one shape, got {' and '.join(shapes)}", "make two marks of it")
    kind = shapes[0] if shapes else POINT
    rows = _rows(entry["at"]) if "at" in entry else []
    _check_number_of_spots(place, kind, len(rows))
    if kind == OUTLINE and entry[OUTLINE] is not True:
        place.fault(
            f"outline must be true, got {shown(entry[OUTLINE])}",
            "its corners go into at",
        )
    low, high = _heights(place, entry) if kind == HEIGHTS else (0.0, 0.0)
    key = _REACH if kind == POINT else kind
    if _REACH in entry and kind != POINT:
        place.fault(f"reach says how far a mark grows, and {kind} does not grow", "leave it out")
    sized, up = key in _SIZED and key in entry, kind == LOOKS_UP
    return Mark(
        area=name or "?",
        kind=kind,
        where=place.where,
        spots=_spots(place, entry, rows),
        size=number_in(place, entry, key, 0.01, _WIDEST, 1.0) if sized else 0.0,
        low=low,
        high=high,
        degrees=number_in(place, entry, LOOKS_UP, -90.0, 90.0, 0.0) if up else 0.0,
        below=number_in(place, entry, "below", 0.0, _HIGHEST, _HIGHEST) if up else 0.0,
        shells=_shells(place, entry.get(SHELL)) if kind == SHELL else (),
        mirror=_mirror(place, entry, kind),
    )


def _spots(place: Place, entry: Mapping[str, object], rows: Sequence[object]) -> tuple[Spot, ...]:
    """The places of a mark: points in mm, or pixels of a view."""
    view = entry.get("view", "")
    if not isinstance(view, str) or ("view" in entry and not view):
        place.fault(f"view must be a name in quotes, got {shown(view)}")
        return ()
    wanted = 2 if "view" in entry else 3
    if wanted == 3 and not set(entry) <= set(_KEYS) and any(_is_pixel(row) for row in rows):
        # The unknown key was told, and is a misspelt view.
        return ()
    normals = _rows(entry["normal"]) if "normal" in entry else []
    if normals and len(normals) != len(rows):
        place.fault(
            f"{len(rows)} places have {len(normals)} normals", "leave normal out, or fit it"
        )
        normals = []
    spots = []
    for number, row in enumerate(rows):
        values = numbers_of(place, "at", row, (wanted,))
        if not values:
            continue
        if view:
            spots.append(Spot(view=view, pixel=(values[0], values[1])))
            continue
        normal = numbers_of(place, "normal", normals[number], (3,)) if normals else []
        if normal and not any(normal):
            place.fault("a normal of three zeros points nowhere", "leave normal out")
            normal = []
        spots.append(
            Spot(
                (values[0], values[1], values[2]),
                (normal[0], normal[1], normal[2]) if normal else None,
            )
        )
    return tuple(spots)


def _is_pixel(value: object) -> bool:
    """Whether a place has two numbers."""
    return isinstance(value, list) and len(value) == 2


def _rows(value: object) -> list[object]:
    """One place or several, as several."""
    if isinstance(value, list) and value and isinstance(value[0], list):
        return value
    return [value]


def _check_number_of_spots(place: Place, kind: str, count: int) -> None:
    """Fault a mark with too few or too many places."""
    fewest, most = {
        POINT: (1, 999), DISC: (1, 999), STROKE: (2, 999), BELT: (3, 3),
        OUTLINE: (3, 999), HEIGHTS: (0, 1), LOOKS_UP: (0, 0), SHELL: (0, 0),
    }[kind]  # fmt: skip
    if fewest <= count <= most:
        return
    if count > most > 3:
        place.fault(f"a mark has at most {most} places, got {count}", "make two marks of it")
        return
    what = {
        POINT: "a mark needs a place: at = [x, y, z], or view and at = [column, row]",
        DISC: "discs need at = [[x, y, z], ...]",
        STROKE: "a stroke needs at least two places: at = [[x, y, z], [x, y, z]]",
        BELT: "a belt needs three places around the part: at = [[x, y, z], [x, y, z], [x, y, z]]",
        OUTLINE: "an outline needs at least three corners in at",
        HEIGHTS: "heights take one place at most, to choose the piece that holds it",
        LOOKS_UP: "looks_up takes no place",
        SHELL: "shell takes no place",
    }[kind]
    place.fault(what)


def _heights(place: Place, entry: Mapping[str, object]) -> tuple[float, float]:
    """Lower and upper height."""
    pair = numbers_of(place, HEIGHTS, entry[HEIGHTS], (2,))
    if pair and not pair[0] < pair[1]:
        place.fault(f"heights must rise, got {pair[0]:g} and {pair[1]:g}")
    return (pair[0], pair[1]) if pair else (0.0, 1.0)


def _shells(place: Place, value: object) -> tuple[int, ...]:
    """Numbers of shells."""
    several = value if isinstance(value, list) else [value]
    good = [k for k in several if is_finite_number(k) and isinstance(k, int) and k >= 1]
    if len(good) < len(several) or not several:
        place.fault(f"shell must be a number from 1, or a list of them, got {shown(value)}")
    return tuple(good)


def _mirror(place: Place, entry: Mapping[str, object], kind: str) -> bool | None:
    """Whether the mark comes again on the other side; None when it does not say."""
    value = entry.get("mirror")
    if value is None:
        return None
    if not isinstance(value, bool):
        place.fault(f"mirror must be true or false, got {shown(value)}")
        return False
    if value and kind in (LOOKS_UP, SHELL):
        place.fault(f"a mark by {kind} has no other side", "leave mirror out")
    return value
