"""The header of a PLY file, checked against what the file holds.

Reference: Greg Turk (1994), "The PLY Polygon File Format", from memory.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from preview.errors import MeshFault


@dataclass(frozen=True)
class Element:
    """One kind of row: its name, how many there are, and its properties' words."""

    name: str
    count: int
    properties: list[list[str]] = field(default_factory=list)


def refuse_wrong_header(path: Path, data: bytes) -> None:
    """MeshFault when a file is no PLY, is cut off, or has no faces.

    Parameters
    ----------
    path : the file, for the message.
    data : its bytes.
    """
    head, mark, body = data.partition(b"end_header")
    if not data.startswith(b"ply") or not mark or len(head) > 1 << 20:
        raise MeshFault(
            "this is not a PLY file: it has no PLY header", str(path), "export the figure again"
        )
    lines = [line.split() for line in head.decode("utf-8", "replace").splitlines()]
    elements = _elements(path, lines, len(data))
    faces = [element for element in elements if element.name == "face"]
    if not faces or not faces[0].count:
        raise MeshFault(
            "the PLY file holds no face", str(path), "export the figure as a mesh, not as points"
        )
    if ["format", "ascii", "1.0"] in lines:
        _refuse_cut_text(path, elements, body)


def _elements(path: Path, lines: list[list[str]], size: int) -> list[Element]:
    """What the header announces."""
    elements: list[Element] = []
    for words in lines:
        if words[:1] == ["element"]:
            if len(words) != 3 or not words[2].isdecimal() or int(words[2]) > size:
                raise MeshFault(
                    f'the PLY file is cut off, or its header is wrong: "{" ".join(words)}"',
                    str(path),
                    "copy or export the file again",
                )
            elements.append(Element(words[1], int(words[2])))
        elif words[:1] == ["property"] and elements:
            elements[-1].properties.append(words[1:])
    return elements


def _refuse_cut_text(path: Path, elements: list[Element], body: bytes) -> None:
    """MeshFault when a text PLY has fewer rows than announced, or ends within its last one."""
    rows = [row for row in body.split(b"\n")[1:] if row.strip()]
    told = sum(element.count for element in elements)
    whole = len(rows) >= told
    if whole:
        last = next(element for element in reversed(elements) if element.count)
        whole = len(rows) > told or _is_whole(rows[told - 1].split(), last.properties)
    if not whole:
        raise MeshFault(
            f"the PLY file is cut off: it ends before the last of its {told:,} rows",
            str(path),
            "copy or export the file again",
        )


def _is_whole(words: list[bytes], properties: list[list[str]]) -> bool:
    """Whether a row has a word for every property, and for every entry of its lists."""
    at = 0
    for kind in properties:
        if kind[:1] == ["list"]:
            if at >= len(words) or not words[at].isdigit():
                return False
            at += int(words[at])
        at += 1
    return at <= len(words)
