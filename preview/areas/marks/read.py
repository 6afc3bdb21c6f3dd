"""A marks file read with care: every value looked at, all faults told at once."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from preview.areas.analysis.metric import Metric
from preview.areas.analysis.regions import is_part_of
from preview.areas.marks.model import Camera, Fingerprint, Marks, Settled, Spot
from preview.areas.marks.read_mark import read_mark
from preview.areas.marks.values import number_in, table_of
from preview.errors import Fault, MarksFault, RackFault
from preview.rack.place import Place, check_keys, is_finite_number, numbers_of, shown, text_of
from preview.rack.text_file import read_text_file

KEYS = ("format", "note", "mirror", "mirror_x", "areas", "split", "mark", "figure", "metric",
        "regions", "views", "settled")  # fmt: skip
FORMAT = 1
_NUMBER = re.compile(r"[1-9][0-9]{0,3}([a-z]([1-9][0-9]?[a-z]){0,3}([1-9][0-9]?)?)?")
_MOST_PARTS = 26
_MOST_SETTLED = 2000


def load_marks(path: str | Path) -> Marks:
    """Read a marks file (TOML) of which everything must be right.

    Parameters
    ----------
    path : the file.

    Raises
    ------
    MarksFault : it is missing, no TOML, or anything in it is wrong. All faults are told at once,
        each with its place, such as `keeper.toml, mark[3] "belt"` (counted from 1).
    """
    marks = read_marks(path)
    if marks.faults:
        raise MarksFault.of(marks.faults)
    return marks


def read_marks(path: str | Path) -> Marks:
    """Read a marks file (TOML) that will be laid on a figure; its slips come with it.

    Parameters
    ----------
    path : the file.

    Returns
    -------
    marks : with faults, which preview.areas.marks.apply tells together with its own.

    Raises
    ------
    MarksFault : it is missing, no TOML, has nothing that a marks file has, or has slips in its
        figure or metric, without which nobody knows where its places lie.
    """
    file = Path(path)
    top = _parsed(file)
    place = Place(file.name)
    if "areas" not in top and "mark" not in top and "regions" not in top:
        place.fault(
            "this is no marks file: it has neither areas, nor mark, nor regions",
            "make one with  fourpot areas MESH --propose 16 --out DIR",
        )
        raise MarksFault.of(place.faults)
    check_keys(place, top, KEYS)
    if top.get("format", FORMAT) != FORMAT:
        place.fault(
            f"format {shown(top['format'])} is not known here", f"this version reads {FORMAT}"
        )
    unread = set[str]()
    regions, count = _regions(place.at("regions"), top.get("regions", {}), unread)
    split = _split(place.at("split"), top.get("split", {}), unread)
    areas = _areas(place.at("areas"), top.get("areas", {}))
    unread_views = set[str]()
    views = _views(place.at("views"), top.get("views", {}), unread_views)
    marks = Marks(
        path=file,
        figure=_figure(place.at("figure"), top["figure"]) if "figure" in top else None,
        metric=_metric(place.at("metric"), top["metric"]) if "metric" in top else None,
        count=count,
        regions=regions,
        areas={
            # Of a number that could not be read nobody knows whether the proposal has it.
            name: tuple(n for n in numbers if _rests_on_none(n, unread))
            for name, numbers in areas.items()
        },
        split={n: parts for n, parts in split.items() if _rests_on_none(n, unread)},
        marks=tuple(
            read_mark(place, number, entry)
            for number, entry in enumerate(_entries(place, top.get("mark", [])), start=1)
        ),
        views=views,
        mirror=_mirror(place, top),
        mirror_x=number_in(place, top, "mirror_x", -1000.0, 1000.0, 0.0),
        settled=_settled(place.at("settled"), top["settled"]) if "settled" in top else None,
    )
    _check_names(place, marks.names)
    _check_views(place, marks, unread_views)
    if ("figure" in top and not marks.figure) or ("metric" in top and not marks.metric):
        raise MarksFault.of(place.faults)
    return replace(marks, faults=tuple(place.faults))


def _mirror(place: Place, top: Mapping[str, object]) -> bool:
    """Whether all counts on both sides."""
    value = top.get("mirror", False)
    if not isinstance(value, bool):
        place.fault(f"mirror must be true or false, got {shown(value)}")
        return False
    return value


def _parsed(file: Path) -> dict[str, object]:
    """The file's top table."""
    try:
        text = read_text_file(file, "marks file")
    except RackFault as error:
        raise MarksFault.of(error.faults) from error
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as error:
        said = "nested too deeply" if isinstance(error, RecursionError) else str(error)
        fix = 'write areas as  coat = [3, 7, "12a"]  with parts in quotes, each name once'
        raise MarksFault(f"the marks file is not valid TOML: {said}", str(file), fix) from error


def _entries(place: Place, value: object) -> list[object]:
    """The marks, as a list."""
    if isinstance(value, list):
        return value
    place.fault(f"mark must be a list, got {shown(value)}", "write each mark under [[mark]]")
    return []


def _areas(place: Place, value: object) -> dict[str, tuple[str, ...]]:
    """Area -> numbers; a number twice is a fault."""
    areas: dict[str, tuple[str, ...]] = {}
    owner: dict[str, str] = {}
    for name, entry in table_of(place, value).items():
        numbers = []
        for one in entry if isinstance(entry, list) else [entry]:
            text = str(one)
            if isinstance(one, bool) or not isinstance(one, int | str):
                text = ""
            if not _NUMBER.fullmatch(text):
                place.at(name).fault(
                    f'a region is a number such as 3 or a part such as "3b", got {shown(one)}'
                )
                continue
            if text in owner:
                place.at(name).fault(
                    f'number {text} is given to "{owner[text]}" already', "leave it in one of them"
                )
                continue
            owner[text] = name
            numbers.append(text)
        areas[name] = tuple(numbers)
    return areas


def _rests_on_none(number: str, unread: set[str]) -> bool:
    """Whether a region's number is neither one that could not be read, nor a part of one."""
    return not any(number == one or is_part_of(number, one) for one in unread)


def _split(place: Place, value: object, unread: set[str]) -> dict[str, int]:
    """Number -> into how many parts; numbers with a fault are added to the unread ones."""
    split = {}
    for name, entry in table_of(place, value).items():
        if not _NUMBER.fullmatch(name):
            place.fault(f'"{name}" is no region\'s number', "write such as  7 = 4")
        elif isinstance(entry, bool) or not isinstance(entry, int) or not 2 <= entry <= _MOST_PARTS:
            place.at(name).fault(f"a region splits into 2 to {_MOST_PARTS}, got {shown(entry)}")
            unread.add(name)
        else:
            split[name] = entry
    return split


def _regions(place: Place, value: object, unread: set[str]) -> tuple[dict[str, Spot], int]:
    """Number -> middle, and how many whole numbers the proposal had; as _split."""
    table = table_of(place, value)
    count = table.pop("count", 0)
    if isinstance(count, bool) or not isinstance(count, int) or not 0 <= count <= 9999:
        place.fault(f"count must be a whole number, got {shown(count)}")
        count = 0
    spots = {}
    for name, entry in table.items():
        if not _NUMBER.fullmatch(name):
            place.fault(f'"{name}" is no region\'s number')
            continue
        spot = _spot(place.at(name), "a region", entry)
        if spot is None:
            unread.add(name)
        else:
            spots[name] = spot
    return spots, count


def _settled(place: Place, value: object) -> Settled:
    """Places and the areas that they had."""
    table = table_of(place, value)
    check_keys(place, table, ("digest", "areas"))
    areas = {}
    for name, rows in table_of(place.at("areas"), table.get("areas", {})).items():
        spots = [_spot_of(row) for row in rows] if isinstance(rows, list) else [None]
        if None in spots or len(spots) > _MOST_SETTLED:
            place.at("areas").at(name).fault(
                f"this must be a list of at most {_MOST_SETTLED} places, each [x, y, z, normal's "
                f"x, y, z], got {shown(rows)}",
                "delete [settled] and [settled.areas], and run fourpot areas with --update",
            )
        areas[name] = tuple(spot for spot in spots if spot is not None)
    return Settled(text_of(place, table, "digest"), areas)


def _spot(place: Place, what: str, value: object) -> Spot | None:
    """A place with its outward normal."""
    spot = _spot_of(value)
    if spot is None:
        place.fault(
            f"{what} must be six numbers, a place and its outward normal, got {shown(value)}"
        )
    return spot


def _spot_of(value: object) -> Spot | None:
    """A place with its outward normal, or None where the value is no such thing."""
    if not isinstance(value, list) or len(value) != 6 or not all(map(is_finite_number, value)):
        return None
    x, y, z, *normal = map(float, value)
    return Spot((x, y, z), (normal[0], normal[1], normal[2])) if any(normal) else None


def _figure(place: Place, value: object) -> Fingerprint | None:
    """The figure that the file was made for."""
    before = len(place.faults)
    table = table_of(place, value)
    check_keys(place, table, ("name", "faces", "mm2", "height_mm", "shape"))
    rows = table.get("shape", [])
    shape = []
    for number, row in enumerate(rows if isinstance(rows, list) else [], start=1):
        six = numbers_of(place.at(f"shape[{number}]"), "a place", row, (6,))
        if six:
            shape.append(((six[0], six[1], six[2]), (six[3], six[4], six[5])))
    if len(shape) < 8:
        place.fault("shape must list at least 8 places", "make the marks file anew")
    found = Fingerprint(
        name=text_of(place, table, "name"),
        faces=int(number_in(place, table, "faces", 1, 1e9, 1)),
        mm2=number_in(place, table, "mm2", 1e-9, 1e12, 1.0),
        height_mm=number_in(place, table, "height_mm", 0.0, 1e6, 1.0),
        shape=tuple(shape),
    )
    return found if len(place.faults) == before else None


def _metric(place: Place, value: object) -> Metric | None:
    """The metric's numbers."""
    before = len(place.faults)
    table = table_of(place, value)
    check_keys(place, table, ("scale", "smooth", "bend", "power", "convex"))
    usual = Metric(1.0)
    if "scale" not in table:
        place.fault("scale is missing", "leave out the whole table, or copy it from the proposal")
    found = Metric(
        scale=number_in(place, table, "scale", 1e-6, 1e6, 1.0),
        smooth=number_in(place, table, "smooth", 0.0, 10.0, usual.smooth),
        bend=number_in(place, table, "bend", 1e-3, 100.0, usual.bend),
        power=number_in(place, table, "power", 0.5, 8.0, usual.power),
        convex=number_in(place, table, "convex", 0.0, 1.0, usual.convex),
    )
    return found if len(place.faults) == before else None


def _views(place: Place, value: object, unread: set[str]) -> dict[str, Camera]:
    """Name -> camera; views with a fault are added to the unread ones."""
    views = {}
    for name, entry in table_of(place, value).items():
        at, before = place.at(name), len(place.faults)
        table = table_of(at, entry)
        check_keys(
            at, table, ("target", "azimuth", "elevation", "distance", "mm_per_pixel", "size")
        )
        target = numbers_of(at, "target", table.get("target"), (3,))
        size = numbers_of(at, "size", table.get("size"), (2,))
        camera = Camera(
            target=(target[0], target[1], target[2]) if target else (0.0, 0.0, 0.0),
            azimuth=number_in(at, table, "azimuth", -3600.0, 3600.0, 0.0),
            elevation=number_in(at, table, "elevation", -90.0, 90.0, 0.0),
            distance=number_in(at, table, "distance", 0.0, 1e6, 0.0),
            mm_per_pixel=number_in(at, table, "mm_per_pixel", 1e-9, 1e3, 1.0),
            size=(int(size[0]), int(size[1])) if size else (1, 1),
        )
        if len(place.faults) == before:
            views[name] = camera
        else:
            unread.add(name)
    return views


def _check_names(place: Place, names: tuple[str, ...]) -> None:
    """Fault names that differ by white space or capitals only, and empty ones."""
    first: dict[str, str] = {}
    for name in names:
        key = " ".join(name.split()).casefold()
        if not key or not name.isprintable():
            place.fault(f"an area needs a name that can be read, got {shown(name)}")
        elif first.setdefault(key, name) != name:
            place.fault(
                f'"{first[key]}" and "{name}" differ by capitals or spaces only',
                "spell an area the same way everywhere",
            )


def _check_views(place: Place, marks: Marks, unread: set[str]) -> None:
    """Fault pixels of views that the file does not hold, or outside of those that were read."""
    for mark in marks.marks:
        for spot in mark.spots:
            if spot.pixel is None or spot.view in unread:
                continue
            camera = marks.views.get(spot.view)
            if camera is None:
                valid = ", ".join(marks.views) or "none"
                place.faults.append(
                    Fault(
                        f'there is no view "{spot.view}"',
                        mark.where,
                        f"valid: {valid}; views of another sheet are known to the marks file that "
                        "was written beside it",
                    )
                )
            elif not (0 <= spot.pixel[0] < camera.size[0] and 0 <= spot.pixel[1] < camera.size[1]):
                place.faults.append(
                    Fault(
                        f"pixel {spot.pixel[0]:g}, {spot.pixel[1]:g} lies outside view "
                        f'"{spot.view}"',
                        mark.where,
                        f"it is {camera.size[0]} pixels wide and {camera.size[1]} high",
                    )
                )
