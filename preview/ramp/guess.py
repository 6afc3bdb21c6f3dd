"""What an area probably is, from its name, and about which colour it then takes.

The words and colours are common practice, no source; a painter changes them at once.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from preview.ramp.words import Role

CLOTH = "cloth"

# CIELAB of a mid-tone that reads as the material at arm's length, and the words that name it.
# Modellers also name areas by their colour.
MATERIALS: dict[str, tuple[tuple[float, float, float], tuple[str, ...]]] = {
    "skin": (
        (66.0, 15.0, 19.0),
        ("skin", "face", "hand", "flesh", "ear", "nose", "cheek", "finger"),
    ),
    "beard": (
        (58.0, 2.0, 7.0),
        ("beard", "moustache", "whiskers", "fur", "fleece", "mane", "feather"),
    ),
    "hair": ((33.0, 8.0, 12.0), ("hair", "brow", "braid", "tail")),
    "leather": (
        (36.0, 12.0, 20.0),
        ("leather", "belt", "strap", "boot", "shoe", "glove", "bag", "pouch", "saddle", "quiver",
         "sheath", "scabbard", "harness", "sandal"),
    ),
    "iron": (
        (52.0, -1.0, -4.0),
        ("metal", "iron", "steel", "armour", "armor", "blade", "sword", "helmet", "chain", "mail",
         "buckle", "axe", "hook", "knife", "anchor", "nail", "rivet", "plate", "tin"),
    ),
    "brass": (
        (55.0, 10.0, 32.0),
        ("brass", "gold", "bronze", "copper", "lantern", "button", "bell", "crown", "ring"),
    ),
    "wood": (
        (44.0, 10.0, 22.0),
        ("wood", "staff", "bow", "arrow", "barrel", "plank", "handle", "haft", "oar", "pipe",
         "stick", "crate", "mast"),
    ),
    "rope": ((68.0, 5.0, 20.0), ("rope", "cord", "string", "net", "straw", "twine", "basket")),
    "rock": (
        (47.0, 0.0, 4.0),
        ("rock", "stone", "base", "ground", "earth", "sand", "plinth", "terrain", "wall", "socle"),
    ),
    "glow": ((82.0, 8.0, 34.0), ("glow", "flame", "fire", "light", "lamp", "glass", "candle")),
    "bone": (
        (80.0, 1.0, 11.0),
        ("bone", "eye", "tooth", "teeth", "skull", "horn", "claw", "tusk", "shell", "paper"),
    ),
    "red": ((42.0, 50.0, 30.0), ("scarlet", "crimson")),
    "orange": ((58.0, 38.0, 50.0), ()),
    "yellow": ((74.0, 6.0, 58.0), ()),
    "green": ((45.0, -26.0, 22.0), ()),
    "blue": ((38.0, 0.0, -30.0), ("navy",)),
    "violet": ((38.0, 18.0, -24.0), ("purple", "lilac")),
    "pink": ((62.0, 30.0, 6.0), ("rose",)),
    "beige": ((72.0, 4.0, 18.0), ("tan", "cream", "khaki")),
    "brown": ((32.0, 10.0, 16.0), ()),
    "white": ((86.0, 0.0, 6.0), ()),
    "grey": ((52.0, 0.0, 0.0), ("gray", "silver")),
    "black": ((20.0, 0.0, 0.0), ()),
    "leaf": ((42.0, -14.0, 18.0), ("leaf", "leaves", "grass", "plant", "moss", "weed", "vine")),
}  # fmt: skip

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


@dataclass(frozen=True)
class Guess:
    """What an area probably is.

    material : one of MATERIALS, or "cloth" for everything else.
    turn : for cloth, which of CLOTHS it takes; 0 for materials.
    """

    area: str
    material: str
    turn: int = 0


def guess_areas(area_names: Sequence[str]) -> tuple[Guess, ...]:
    """The material of each area; cloth takes its turns in the order of the list.

    Parameters
    ----------
    area_names : as the mesh names them, such as "Left_Boot.001".
    """
    guesses: list[Guess] = []
    turn = 0
    for area in area_names:
        material = material_of(area)
        guesses.append(Guess(area, material, turn % len(CLOTHS) if material == CLOTH else 0))
        turn += material == CLOTH
    return tuple(guesses)


def material_of(area: str) -> str:
    """The material that a word of the name stands for; the last such word decides."""
    spaced = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", area)
    for word in reversed(re.findall(r"[a-z]+", spaced.lower())):
        for material, (_, words) in MATERIALS.items():
            if word in words or word.removesuffix("s") in words or word == material:
                return material
    return CLOTH
