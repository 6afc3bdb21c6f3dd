"""What an area probably is, from its name, and which areas therefore share a ramp.

The turns and steps are common practice, no source; a painter changes them at once.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from preview.ramp.materials import BODY, COLOURS, LOOKS, SIDES, TONES
from preview.ramp.words import Role

CLOTH = "cloth"

# Cloth takes its hue from a pot and its lightness from its turn, so that neighbours in the list
# differ in value: pot role, share of the pot's chroma, L*.
CLOTHS: tuple[tuple[Role, float, float], ...] = (
    ("cold", 0.9, 34.0),
    ("warm", 0.9, 52.0),
    ("cold", 0.5, 66.0),
    ("cold", 0.9, 50.0),
    ("pale", 1.0, 78.0),
    ("warm", 0.7, 42.0),
)

_COPY = re.compile(r"\.\d{3}$")


@dataclass(frozen=True)
class Name:
    """What the words of an area's name say.

    material : one of LOOKS, or "cloth" for everything else.
    tone : -1 for a dark variant, 1 for a light one, else 0.
    number : of a numbered variant such as "Brown2"; "" without one.
    stem : the words but for sides and the number of a copy.
    """

    material: str
    tone: int
    number: str
    stem: str


@dataclass(frozen=True)
class Group:
    """Areas that share a ramp.

    material : one of LOOKS, or "cloth" for everything else.
    tone : -1 for a dark variant, 1 for a light one, else 0.
    variant : how many groups of the same material and tone come before it.
    turn : for cloth, which of CLOTHS it takes.
    alone : whether no other group has its material.
    """

    areas: tuple[str, ...]
    material: str
    stem: str
    tone: int = 0
    variant: int = 0
    turn: int = 0
    alone: bool = True

    @property
    def is_colour(self) -> bool:
        """Whether the name tells a plain colour."""
        return self.material in COLOURS


def group_areas(area_names: Sequence[str]) -> tuple[Group, ...]:
    """The areas by the ramp that they take, in the order of the list.

    Areas share a ramp when their names differ by sides and copies only ("Boot.L", "Boot.R.001"),
    and parts of one body do; variants of a material ("Brown", "Brown2", "Metal_Dark") do not.

    Parameters
    ----------
    area_names : as the mesh names them, such as "Left_Boot.001".
    """
    members: dict[tuple[str, ...], list[str]] = {}
    first: dict[tuple[str, ...], Name] = {}
    for area in area_names:
        name = read_name(area)
        key: tuple[str, ...] = (name.material, name.stem)
        if name.material in BODY:
            key = (name.material, str(name.tone), name.number)
        members.setdefault(key, []).append(area)
        first.setdefault(key, name)
    materials = [name.material for name in first.values()]
    before: dict[tuple[str, int], int] = {}
    groups = list[Group]()
    for place, name in first.items():
        kind = (name.material, 0 if name.material == CLOTH else name.tone)
        count = before.get(kind, 0)
        before[kind] = count + 1
        cloth = name.material == CLOTH
        groups.append(
            Group(
                tuple(members[place]),
                name.material,
                name.stem,
                0 if cloth else name.tone,
                0 if cloth else count,
                count % len(CLOTHS) if cloth else 0,
                materials.count(name.material) == 1,
            )
        )
    return tuple(groups)


def read_name(area: str) -> Name:
    """What an area's name says; the last word that stands for a material decides."""
    pieces = list(_pieces(_COPY.sub("", area)))
    words = [piece for piece in pieces if not piece.isdecimal()]
    material = CLOTH
    told = ""
    # "light" alone glows; beside another word that tells, it makes that one lighter.
    plain = [word for word in words if word not in TONES]
    for word in reversed([*(word for word in words if word in TONES), *plain]):
        found = _material_of(word)
        if found:
            material, told = found, word
            break
    tone = next((TONES[word] for word in words if word in TONES and word != told), 0)
    number = next((piece for piece in reversed(pieces) if piece.isdecimal()), "")
    stem = " ".join(piece for piece in pieces if piece not in SIDES)
    return Name(material, tone, number, stem.removesuffix("s") or area)


def _pieces(area: str) -> Iterator[str]:
    """The words and numbers of a name in small letters, "DarkBrown" and "darkbrown" in two."""
    spaced = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", area)
    for piece in re.findall(r"[^\W\d_]+|\d+", spaced.lower()):
        tone = next((t for t in TONES if piece.startswith(t) and _is_colour(piece[len(t) :])), "")
        if tone:
            yield tone
        yield piece[len(tone) :]


def _is_colour(word: str) -> bool:
    """Whether a word is a plain colour word."""
    return _material_of(word) in COLOURS


def _material_of(word: str) -> str | None:
    """The material or colour that a word stands for."""
    for material, (_, words) in LOOKS.items():
        if word in words or word.removesuffix("s") in words or word == material:
            return material
    return None
