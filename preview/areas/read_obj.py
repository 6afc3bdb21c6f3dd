"""OBJ: materials, groups and objects by their names in the file, with or without its MTL.

Lines of one kind that follow each other are read together, so that a file of a million faces takes
seconds.

Reference: Wavefront Technologies, "Object Files (.obj)", Advanced Visualizer Manual, Appendix B1,
from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from preview.areas.obj_faces import corners_in
from preview.areas.polygons import fan
from preview.areas.repairs import counted
from preview.areas.soup import Labels, Soup, labels_from_parts
from preview.areas.text_numbers import numbers_in
from preview.errors import MeshFault

_NAMED = {b"o": "objects", b"g": "groups", b"usemtl": "materials"}
_NO_NAME = {"materials": ("none", "(null)", "default"), "groups": ("default", "off"), "objects": ()}


@dataclass
class _Read:
    """What was gathered from the lines so far."""

    vertices: list[NDArray[np.float64]] = field(default_factory=list)
    vertex_count: int = 0
    corners: list[NDArray[np.int64]] = field(default_factory=list)
    lengths: list[NDArray[np.int64]] = field(default_factory=list)
    parts: list[dict[str, str]] = field(default_factory=list)
    names: dict[str, str] = field(default_factory=dict)
    unread: int = 0
    notes: list[str] = field(default_factory=list)


def read_obj(path: Path) -> Soup:
    """Read an OBJ file; raises MeshFault."""
    data = path.read_bytes()
    if b"\0" in data[:4096]:
        raise MeshFault("this is not an OBJ file: it is no text", str(path), "export it again")
    read = _Read()
    for kind, block in _blocks(_tidy(data)):
        if kind == b"v":
            _add_vertices(read, block)
        elif kind == b"f":
            _add_faces(read, block)
        else:
            _add_name(read, kind, block)
    return _soup(path, data, read)


def _tidy(data: bytes) -> bytes:
    """The text with plain line ends, no comments, no indents, no continued lines."""
    if b"\r" in data:
        data = data.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    if b"\\\n" in data:
        data = data.replace(b"\\\n", b" ")
    if b"#" in data:
        data = re.sub(rb"#[^\n]*", b"", data)
    if data[:1] in (b" ", b"\t") or b"\n " in data or b"\n\t" in data:
        data = re.sub(rb"^[ \t]+", b"", data, flags=re.MULTILINE)
    return data.replace(b"\t", b" ") if b"\t" in data else data


def _blocks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """Runs of vertex lines, runs of face lines, and single lines that name something."""
    text = np.frombuffer(b"\n" + data + b"\n\n", np.uint8)
    starts = np.flatnonzero(text[:-2] == ord("\n")) + 1
    first, second = text[starts], text[starts + 1]
    spaced = second == ord(" ")
    kind = np.zeros(len(starts), np.uint8)
    kind[(first == ord("v")) & spaced] = 1
    kind[(first == ord("f")) & spaced] = 2
    kind[((first == ord("o")) | (first == ord("g"))) & (spaced | (second == ord("\n")))] = 3
    kind[(first == ord("u")) & (second == ord("s"))] = 3
    begins = np.flatnonzero(np.diff(kind, prepend=255) | (kind == 3))
    whole = text.tobytes()
    edges = [*starts[begins].tolist(), len(whole)]
    for k, begin in enumerate(begins.tolist()):
        block = whole[edges[k] : edges[k + 1]]
        if kind[begin] == 1:
            yield b"v", block
        elif kind[begin] == 2:
            yield b"f", block
        elif kind[begin] == 3:
            word, _, name = block.partition(b"\n")[0].partition(b" ")
            yield word, name


def _add_vertices(read: _Read, block: bytes) -> None:
    """Take x, y, z of each line; a weight or a colour may follow them."""
    lines = block.count(b"v ")
    numbers = numbers_in(block.replace(b"v ", b"  "))
    if numbers is not None and lines and len(numbers) % lines == 0 and len(numbers) >= 3 * lines:
        columns = len(numbers) // lines
        if columns in (3, 4, 6, 7) and _even(block, columns):
            read.vertices.append(numbers.reshape(lines, columns)[:, :3])
            read.vertex_count += lines
            return
    rows = [_vertex(line) for line in block.split(b"\n") if line.startswith(b"v ")]
    read.vertices.append(np.array(rows, dtype=np.float64).reshape(-1, 3))
    read.vertex_count += len(rows)


def _even(block: bytes, columns: int) -> bool:
    """Whether the first and the last line hold as many numbers as the average line."""
    lines = block.strip().split(b"\n", 1)[0], block.strip().rsplit(b"\n", 1)[-1]
    return all(len(line.split()) == columns + 1 for line in lines)


def _vertex(line: bytes) -> tuple[float, float, float]:
    """The place of one vertex line; not a number where it cannot be read."""
    try:
        x, y, z = (float(word) for word in line.split()[1:4])
    except ValueError:
        return (np.nan, np.nan, np.nan)
    return x, y, z


def _add_faces(read: _Read, block: bytes) -> None:
    """Take the vertex numbers of each line; texture and normal numbers are left."""
    corners, lengths, unread = corners_in(block)
    read.corners.append(np.where(corners < 0, corners + read.vertex_count, corners - 1))
    read.lengths.append(lengths)
    read.parts.append(dict(read.names))
    read.unread += unread


def _add_name(read: _Read, word: bytes, name: bytes) -> None:
    """Remember what the following faces belong to."""
    kind = _NAMED.get(word)
    if kind is None:
        return
    text = " ".join(name.decode("utf-8", "replace").split())
    if text.lower() in _NO_NAME[kind] or not text:
        read.names.pop(kind, None)
    else:
        read.names[kind] = text


def _soup(path: Path, data: bytes, read: _Read) -> Soup:
    """Everything that was gathered, as triangles."""
    if not read.vertices or not read.lengths:
        raise MeshFault(
            "this OBJ file holds no faces" if read.vertices else "this is not an OBJ file: "
            "it holds no vertices",
            str(path),
            "export the figure as a mesh, not as lines or points",
        )  # fmt: skip
    vertices = np.concatenate(read.vertices)
    corners, lengths = np.concatenate(read.corners), np.concatenate(read.lengths)
    keep, notes, warnings = _sound(data, corners, lengths, len(vertices), read.unread)
    faces, polygon = fan(corners, lengths, keep)
    if not len(faces):
        raise MeshFault(
            "this OBJ file holds no usable face", str(path), "copy or export the file again"
        )
    return Soup(
        vertices=vertices,
        faces=faces,
        source_face=polygon,
        source_count=len(lengths) + read.unread,
        labels=tuple(_labels(read, kind, polygon) for kind in _NAMED.values()),
        notes=notes,
        warnings=warnings,
    )


def _labels(read: _Read, kind: str, polygon: NDArray[np.int64]) -> Labels:
    """The names of one kind, for each triangle."""
    names = [part.get(kind) for part in read.parts]
    by_polygon = labels_from_parts(kind, names, [len(part) for part in read.lengths])
    return Labels(kind, by_polygon.names, by_polygon.of_face[polygon])


def _sound(
    data: bytes,
    corners: NDArray[np.int64],
    lengths: NDArray[np.int64],
    vertex_count: int,
    unread: int,
) -> tuple[NDArray[np.bool_], tuple[str, ...], tuple[str, ...]]:
    """Which polygons can be used, a sentence for those that cannot, and one for a missing end."""
    notes, warnings = [], []
    owner = np.repeat(np.arange(len(lengths)), lengths)
    astray = np.zeros(len(lengths), np.bool_)
    astray[owner[(corners < 0) | (corners >= vertex_count)]] = True
    short = lengths < 3
    keep = ~(astray | short)
    if unread or short.any():
        number = unread + int(short.sum())
        notes.append(f"left out {counted(number, 'face')} that could not be read")
    if astray.any():
        notes.append(
            f"left out {counted(int(astray.sum()), 'face')} that pointed at vertices the file "
            "does not hold"
        )
    last_line = data[data.rfind(b"\n") + 1 :]
    if last_line.lstrip().startswith((b"f ", b"v ")):
        cut = bool(keep[-1]) and not _closes_a_gap(corners, owner, lengths)
        keep[-1] &= not cut
        if cut:
            warnings.append(
                "the file ends within a line and is cut off; its last face was left out; copy or "
                "export it again"
            )
    return keep, tuple(notes), tuple(warnings)


def _closes_a_gap(
    corners: NDArray[np.int64], owner: NDArray[np.int64], lengths: NDArray[np.int64]
) -> bool:
    """Whether each edge of the last polygon is one of another polygon too."""
    last = corners[len(corners) - lengths[-1] :]
    before = corners[: len(corners) - lengths[-1]]
    owners = owner[: len(before)]
    return all(
        len(np.intersect1d(owners[before == a], owners[before == b])) > 0
        for a, b in zip(last, np.roll(last, -1), strict=True)
    )
