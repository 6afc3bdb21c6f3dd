"""What materials and plain colour words look like: a mid-tone each, and the words for it.

The words and colours are common practice, no source; a painter changes them at once.
"""

from __future__ import annotations

Lab = tuple[float, float, float]

# CIELAB of a mid-tone that reads as the material at arm's length, and the words that name it.
MATERIALS: dict[str, tuple[Lab, tuple[str, ...]]] = {
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
         "buckle", "axe", "hook", "knife", "anchor", "nail", "rivet", "plate", "tin", "silver"),
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
        ("bone", "eye", "tooth", "teeth", "skull", "horn", "claw", "tusk", "paper"),
    ),
    "leaf": ((42.0, -14.0, 18.0), ("leaf", "leaves", "grass", "plant", "moss", "weed", "vine")),
}  # fmt: skip

# Modellers also name areas by their colour: then that colour is wanted, not a material's.
COLOURS: dict[str, tuple[Lab, tuple[str, ...]]] = {
    "red": ((42.0, 50.0, 30.0), ("scarlet", "crimson")),
    "orange": ((58.0, 38.0, 50.0), ()),
    "yellow": ((74.0, 6.0, 58.0), ()),
    "green": ((45.0, -26.0, 22.0), ()),
    "blue": ((38.0, 0.0, -30.0), ("navy",)),
    "violet": ((37.0, 24.0, -25.0), ("purple", "lilac")),
    "pink": ((62.0, 30.0, 6.0), ("rose",)),
    "beige": ((72.0, 4.0, 18.0), ("tan", "cream", "khaki")),
    "brown": ((32.0, 10.0, 16.0), ()),
    "white": ((86.0, 0.0, 6.0), ()),
    "grey": ((52.0, 0.0, 0.0), ("gray",)),
    "black": ((20.0, 0.0, 0.0), ()),
}  # fmt: skip

# Colours that only a pot of about their hue can give.
HUES = ("red", "orange", "yellow", "green", "blue", "violet", "pink")
LOOKS = {**MATERIALS, **COLOURS}
METALS = ("iron", "brass")
# Parts of one body, which share a recipe whatever part the name tells.
BODY = ("skin", "beard", "hair")

# Words beside the one that tells: they make an area lighter or darker, or say which side it is on.
TONES = {"dark": -1, "deep": -1, "light": 1, "pale": 1, "bright": 1}
TONE_WORDS = {-1: "dark ", 0: "", 1: "light "}
SIDES = ("left", "right", "l", "r")
