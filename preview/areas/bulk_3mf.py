"""The long lists of a 3MF model, vertices and triangles, read as numbers instead of as XML.

A mesh of a million faces is two million elements that all look the same. When they do, to the
letter, their numbers are taken out and only the small rest is parsed as XML; when anything is
unusual, the whole is parsed as XML.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.areas.text_numbers import numbers_in, whole_numbers_in

_LIST = re.compile(rb"<(vertices|triangles)>(.*?)</\1>", re.DOTALL)
_MARKS = {b' pid="': b" -2 ", b' p1="': b" -3 ", b' p2="': b" -4 ", b' p3="': b" -5 "}
_TRIANGLE, _PID, _P1 = -1, -2, -3


@dataclass(frozen=True, eq=False)
class Triangles:
    """The triangles of one mesh.

    corners : (triangles, 3) int64.
    pid, p1 : (triangles,) int64, -1 where a triangle does not say it.
    """

    corners: NDArray[np.int64]
    pid: NDArray[np.int64]
    p1: NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Bulk:
    """The rest of a model, in which every long list is empty, and the lists in their order."""

    rest: bytes
    vertices: list[NDArray[np.float64]]
    triangles: list[Triangles]


def bulk_of(data: bytes) -> Bulk | None:
    """Part a model's long lists from its rest; None when it is not written in the plain way."""
    if b"<!" in data or data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return None
    rest: list[bytes] = []
    vertices: list[NDArray[np.float64]] = []
    triangles: list[Triangles] = []
    at = 0
    for found in _LIST.finditer(data):
        rest += [data[at : found.start()], b"<", found[1], b"/>"]
        at = found.end()
        if found[1] == b"vertices":
            places = _vertices(found[2])
            if places is None:
                return None
            vertices.append(places)
        else:
            some = _triangles(found[2])
            if some is None:
                return None
            triangles.append(some)
    rest.append(data[at:])
    return Bulk(b"".join(rest), vertices, triangles)


def _vertices(text: bytes) -> NDArray[np.float64] | None:
    """(vertices, 3) float64 out of elements such as <vertex x="1" y="2" z="3"/>."""
    count = text.count(b"<vertex ")
    for mark in (b'<vertex x="', b'" y="', b'" z="'):
        if text.count(mark) != count:
            return None
        text = text.replace(mark, b" ")
    numbers = numbers_in(_without_ends(text))
    if numbers is None or len(numbers) != 3 * count:
        return None
    return numbers.reshape(-1, 3)


def _triangles(text: bytes) -> Triangles | None:
    """Triangles out of elements such as <triangle v1="1" v2="2" v3="3" pid="1" p1="0"/>."""
    count = text.count(b"<triangle ")
    for mark, sign in ((b'<triangle v1="', b" -1 "), (b'" v2="', b" "), (b'" v3="', b" ")):
        if text.count(mark) != count:
            return None
        text = text.replace(mark, sign)
    for mark, sign in _MARKS.items():
        text = text.replace(mark, sign)
    whole = whole_numbers_in(_without_ends(text))
    if whole is None or not (np.abs(whole) < 2**31).all():
        return None
    starts = np.flatnonzero(whole == _TRIANGLE)
    if len(starts) != count:
        return None
    lengths = np.diff(starts, append=len(whole))
    if count and (starts[0] != 0 or not np.isin(lengths, (4, 6, 8, 10, 12)).all()):
        return None
    corners = np.stack([whole[starts + k] for k in (1, 2, 3)], axis=1) if count else whole
    return Triangles(
        corners.reshape(-1, 3),
        _after(whole, _PID, starts),
        _after(whole, _P1, starts),
    )


def _after(numbers: NDArray[np.int64], mark: int, starts: NDArray[np.int64]) -> NDArray[np.int64]:
    """For each triangle the number behind its mark; -1 where it has no such mark."""
    at = np.flatnonzero(numbers == mark)
    value = np.full(len(starts), -1, np.int64)
    value[np.searchsorted(starts, at, side="right") - 1] = numbers[at + 1]
    return value


def _without_ends(text: bytes) -> bytes:
    """The text without the ends of attributes and elements."""
    return text.replace(b'"', b" ").replace(b"/>", b" ")
