"""STL, the text kind: one or several named solids, with decimal points or decimal commas."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from preview.areas.repairs import counted
from preview.areas.soup import Soup, labels_from_parts
from preview.areas.text_numbers import numbers_in
from preview.errors import MeshFault

_SOLID = re.compile(rb"^[ \t]*solid\b[ \t]*([^\r\n]*)", re.MULTILINE | re.IGNORECASE)
_VERTEX = re.compile(rb"vertex\s+(\S+)\s+(\S+)\s+(\S+)", re.IGNORECASE)
_WORDS = (b"endfacet", b"facet", b"normal", b"outer", b"endloop", b"loop", b"vertex")


def read_stl_text(path: Path, data: bytes) -> Soup:
    """Read a text STL, whose bytes are `data`; raises MeshFault."""
    names: list[str | None] = []
    parts: list[NDArray[np.float64]] = []
    sources: list[NDArray[np.int64]] = []
    count = unread = 0
    for name, body in _solids(data):
        corners, whole, broken = _facets(body)
        names.append(name)
        parts.append(corners)
        sources.append(whole + count)
        count += len(whole) + broken
        unread += broken
    if not sum(map(len, parts)):
        raise MeshFault("the text STL holds no whole face", str(path), "export the figure again")
    vertices = np.concatenate(parts)
    return Soup(
        vertices=vertices,
        faces=np.arange(len(vertices), dtype=np.int32).reshape(-1, 3),
        source_face=np.concatenate(sources),
        source_count=count,
        labels=(labels_from_parts("solids", _told_apart(names), [len(p) // 3 for p in parts]),),
        notes=(f"left out {counted(unread, 'face')} that could not be read",) if unread else (),
        warnings=_warnings(data),
    )


def _told_apart(names: list[str | None]) -> list[str | None]:
    """The names; numbered when several solids all bear the same name, or none."""
    if len(names) < 2 or len(set(names)) > 1:
        return names
    return [f"{name or 'solid'} {k + 1}" for k, name in enumerate(names)]


def _solids(data: bytes) -> Iterator[tuple[str | None, bytes]]:
    """Each solid's name and the text of its facets."""
    marks = list(_SOLID.finditer(data))
    if not marks:
        yield None, data
    for mark, following in zip(marks, [*marks[1:], None], strict=True):
        stop = following.start() if following else len(data)
        name = mark.group(1).decode("utf-8", "replace").strip()
        yield name or None, data[mark.end() : stop]


def _facets(body: bytes) -> tuple[NDArray[np.float64], NDArray[np.int64], int]:
    """Corners of the whole facets, which of the facets these are, and how many are broken."""
    if b"endfacet" not in body:
        body = body.lower()
    end = body.rfind(b"endfacet")
    cut = body.count(b"facet normal", max(end, 0))
    whole = body[: end + len(b"endfacet")] if end >= 0 else b""
    if b"," in whole:
        whole = _with_points(whole)
    numbers = _twelve_each(whole)
    if numbers is not None:
        corners = numbers[:, 3:].reshape(-1, 3)
        return corners, np.arange(len(numbers), dtype=np.int64), cut
    return _one_by_one(whole, cut)


def _with_points(text: bytes) -> bytes:
    """Decimal commas as points; commas that only part numbers, as in "1.5, 2.5", as spaces."""
    return text.replace(b",", b" ") if b"." in text else text.replace(b",", b".")


def _twelve_each(text: bytes) -> NDArray[np.float64] | None:
    """(facets, 12) float64, normal and corners; None when the text is not as regular as that."""
    facets = text.count(b"endfacet")
    for word in _WORDS:
        text = text.replace(word, b" ")
    numbers = numbers_in(text)
    if numbers is None or len(numbers) != 12 * facets:
        return None
    return numbers.reshape(-1, 12)


def _one_by_one(text: bytes, cut: int) -> tuple[NDArray[np.float64], NDArray[np.int64], int]:
    """The same as _facets, facet by facet: slow, but it steps over what it cannot read."""
    corners: list[list[float]] = []
    whole: list[int] = []
    broken = cut
    pieces = re.split(rb"endfacet", text, flags=re.IGNORECASE)[:-1]
    for number, piece in enumerate(pieces):
        found = [_three(match) for match in _VERTEX.finditer(piece)]
        three = [corner for corner in found if corner is not None]
        if len(found) == 3 and len(three) == 3:
            corners += three
            whole.append(number)
        else:
            broken += 1
    array = np.array(corners, dtype=np.float64).reshape(-1, 3)
    return array, np.array(whole, dtype=np.int64), broken


def _three(match: re.Match[bytes]) -> list[float] | None:
    """The coordinates of one vertex line; None when one of them is no number."""
    try:
        return [float(word) for word in match.groups()]
    except ValueError:
        return None


def _warnings(data: bytes) -> tuple[str, ...]:
    """Whether the end is missing."""
    if b"endsolid" in data[-4096:].lower():
        return ()
    return (
        "the file is cut off: the text has no end; what is there was read; copy or export it again",
    )
