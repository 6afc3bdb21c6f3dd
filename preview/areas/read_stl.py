"""STL, the binary kind, and telling it from the text kind.

Reference: "SLC/StL file specification", 3D Systems, 1989, from memory: an 80-byte header, a count,
then 50 bytes a face.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from preview.areas.read_stl_text import read_stl_text
from preview.areas.repairs import counted
from preview.areas.soup import Soup
from preview.areas.stl_colours import labels_from_words
from preview.errors import MeshFault

_HEADER = 84
_FACE = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("word", "<u2")])
_LEAST_SHARE = 0.5


def read_stl(path: Path) -> Soup:
    """Read an STL file, binary or text; raises MeshFault."""
    data = path.read_bytes()
    if _is_text(data):
        return read_stl_text(path, data)
    if len(data) < _HEADER:
        raise _no_stl(path, f"the file holds {counted(len(data), 'byte')}, an STL at least 84")
    return _read_binary(path, data)


def _is_text(data: bytes) -> bool:
    """Whether this is the text kind: some binary files begin with "solid" as well."""
    told = int.from_bytes(data[80:_HEADER], "little") if len(data) >= _HEADER else -1
    if told > 0 and len(data) == _HEADER + told * _FACE.itemsize:
        return False
    start = data[:4096].lower()
    return b"\0" not in start and (b"facet" in start or start.lstrip().startswith(b"solid"))


def _read_binary(path: Path, data: bytes) -> Soup:
    """The faces of a binary STL; a wrong count is set right or refused."""
    told = int.from_bytes(data[80:_HEADER], "little")
    room, rest = divmod(len(data) - _HEADER, _FACE.itemsize)
    faces, notes, warnings = told, [], []
    if told > room:
        faces = room
        if _cut(path, data, told, room):
            warnings.append(
                f"the file is cut off: {told - room:,} of {told:,} faces are missing, {room:,} "
                "could be read; copy or export it again"
            )
        else:
            notes.append(
                f"the header counts {told:,} faces, the file holds {room:,}; they close the "
                "surface, so all is there"
            )
    elif told < room and rest == 0 and _plausible(data, told, room):
        faces = room
        notes.append(f"the header counts {told:,} faces, the file holds {room:,}; all were read")
    elif len(data) > _HEADER + told * _FACE.itemsize:
        extra = len(data) - _HEADER - told * _FACE.itemsize
        notes.append(f"left unread {counted(extra, 'byte')} after the last face")
    if faces == 0:
        raise MeshFault(
            "the STL file holds no face", str(path), "export the figure again; this one is empty"
        )
    return _soup(data, faces, tuple(notes), tuple(warnings))


def _cut(path: Path, data: bytes, told: int, room: int) -> bool:
    """Whether faces are missing, or only the count is wrong; MeshFault when too little is left."""
    if data[:512].isascii() and b"\0" not in data[:512]:
        raise _no_stl(path, "it is a text without any facet")
    if room >= _LEAST_SHARE * told:
        return True
    if room and _closed(data, room):
        return False
    raise MeshFault(
        f"the STL file is cut off, or is no STL: {room:,} of {told:,} faces are there",
        str(path),
        "copy or export the file again",
    )


def _closed(data: bytes, faces: int) -> bool:
    """Whether the first `faces` faces make a surface without open edges."""
    from preview.shape.neighbours import neighbours_of
    from preview.shape.weld import weld_exact

    corners = _corners(data, faces)
    if not np.isfinite(corners).all():
        return False
    _, place_of = weld_exact(corners)
    triples = place_of.reshape(-1, 3)
    whole = (triples != np.roll(triples, 1, axis=1)).all(axis=1)
    return bool(whole.any()) and len(neighbours_of(triples[whole]).open_face) == 0


def _plausible(data: bytes, told: int, room: int) -> bool:
    """Whether the bytes behind the counted faces look like faces of the same figure."""
    more = np.frombuffer(data, _FACE, count=room - told, offset=_HEADER + told * _FACE.itemsize)
    beyond = more["corners"]
    if not np.isfinite(beyond).all():
        return False
    size = np.abs(beyond)
    if told == 0:
        return bool(size.max() < 1e6 and size.max() > 1e-6)
    reach = np.abs(np.frombuffer(data, _FACE, count=told, offset=_HEADER)["corners"]).max()
    return bool(reach * 1e-3 < size.max() <= reach * 1e2)


def _soup(data: bytes, count: int, notes: tuple[str, ...], warnings: tuple[str, ...]) -> Soup:
    """The first `count` faces, each with corners of its own."""
    words = np.frombuffer(data, _FACE, count=count, offset=_HEADER)["word"]
    colours = labels_from_words(data[:80], words)
    return Soup(
        vertices=_corners(data, count),
        faces=np.arange(3 * count, dtype=np.int32).reshape(-1, 3),
        source_face=np.arange(count, dtype=np.int64),
        source_count=count,
        labels=(colours,) if colours else (),
        notes=notes,
        warnings=warnings,
    )


def _corners(data: bytes, count: int) -> NDArray[np.float32]:
    """(3 * faces, 3) float32: the corners of the first `count` faces."""
    faces = np.frombuffer(data, _FACE, count=count, offset=_HEADER)
    return np.asarray(faces["corners"], dtype=np.float32).reshape(-1, 3)


def _no_stl(path: Path, why: str) -> MeshFault:
    """The refusal of something that only has the suffix."""
    return MeshFault(
        f"this is not an STL file: {why}", str(path), "give the mesh file itself, or export again"
    )
