"""Colours that a set of pots is held against: a fixed list by rule, browns, greys, one's own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike, NDArray

from preview.errors import Fault, FileFault, UsageError
from preview.optics.appearance import linear_srgb_from_lab
from preview.optics.spectrum import Floats
from preview.optics.srgb_iec61966 import lab_from_hex
from preview.rack.text_file import read_text_file

# The list by rule: every 30 degrees of CIELAB hue, at five lightnesses and two chromas, as far as
# sRGB can show it. Moderate, as painted figures are (common practice, no source).
HUES_DEG = tuple(30.0 * k for k in range(12))
LIGHTNESS = (25.0, 40.0, 55.0, 70.0, 85.0)
CHROMA = (12.0, 28.0)
# Within the look of a brown (see `preview.palette.roles`), and greys from dark to light.
BROWNS = ((25.0, 32.5, 40.0, 47.5), (12.0, 20.0), (52.0, 72.0))
GREYS = (25.0, 35.0, 45.0, 55.0, 65.0, 75.0)
# Reached: a whole-drop mix within this CIEDE2000.
WITHIN = 3.0
MOST = 1000


@dataclass(frozen=True, eq=False)
class Group:
    """The colours of one area of a figure.

    lab : (colours, 3) CIELAB, in which the area's ramp may be planned.
    wanted : (colours,) bool, those that count for reach; the others tell which values it can take.
    """

    name: str
    lab: Floats
    wanted: NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Targets:
    """What a set of pots should be able to mix.

    lab : (colours, 3) CIELAB that count for reach.
    groups : areas of a figure, whose wanted colours count instead of `lab`; may be empty.
    borders : which groups touch, with the length of their border, mm.
    source : in words, where the colours come from.
    """

    lab: Floats
    source: str
    groups: tuple[Group, ...] = ()
    borders: tuple[tuple[int, int, float], ...] = ()

    @property
    def wishes(self) -> Floats:
        """(colours, 3) CIELAB of all that counts for reach."""
        if len(self.lab):
            return self.lab
        return np.concatenate([group.lab[group.wanted] for group in self.groups])


@cache
def by_rule() -> Targets:
    """The fixed list: 12 hues, five lightnesses, two chromas, without what sRGB cannot show."""
    lab = _of_lch(LIGHTNESS, CHROMA, HUES_DEG)
    linear = linear_srgb_from_lab(lab)
    shown = np.all((linear >= 0.0) & (linear <= 1.0), axis=1)
    return Targets(lab[shown], f"{int(shown.sum())} colours by rule")


def brown_colours() -> Floats:
    """(16, 3) CIELAB of browns."""
    return _of_lch(*BROWNS)


def grey_colours() -> Floats:
    """(6, 3) CIELAB of greys."""
    return np.array([[lightness, 0.0, 0.0] for lightness in GREYS])


def read_targets(words: Sequence[str]) -> Targets:
    """One's own list of colours.

    Parameters
    ----------
    words : sRGB colours such as "#8a4b2f", several parted by commas, or text files with one
        colour at the beginning of each line; "//" begins a comment.

    Raises
    ------
    UsageError : a word is neither a colour nor a file; all of them at once.
    FileFault : a file holds something else, or no colour.
    """
    found: list[Floats] = []
    faults: list[Fault] = []
    in_files: list[Fault] = []
    for word in words:
        if not word.lstrip().startswith("#") and Path(word).is_file():
            lines = read_text_file(Path(word), "list of colours").splitlines()
            found += _read_lines(lines, Path(word).name, in_files)
            continue
        for piece in word.split(","):
            try:
                found.append(lab_from_hex(piece.strip()))
            except ValueError as error:
                fix = 'write "#8a4b2f", or name a text file with one such colour per line'
                faults.append(Fault(str(error), f'command line, --want "{word}"', fix))
    if faults:
        raise UsageError.of([*faults, *in_files])
    if in_files:
        raise FileFault.of(in_files)
    if len(found) > MOST:
        raise UsageError(
            f"{len(found)} colours are too many to hold pots against",
            "command line, --want",
            f"give at most {MOST}",
        )
    return Targets(np.array(found), f"{len(found)} colours of your own")


def _read_lines(lines: Sequence[str], name: str, faults: list[Fault]) -> list[Floats]:
    """The colours of a file; what is none is kept as a fault."""
    found = []
    before = len(faults)
    for number, line in enumerate(lines, start=1):
        text = line.partition("//")[0].strip()
        if not text:
            continue
        try:
            found.append(lab_from_hex(text.split()[0]))
        except ValueError as error:
            fix = 'begin every line with a colour such as "#8a4b2f"'
            faults.append(Fault(str(error), f"{name}, line {number}", fix))
    if not found and len(faults) == before:
        faults.append(Fault("the list holds no colour", name, 'write one such as "#8a4b2f"'))
    return found


def _of_lch(lightness: ArrayLike, chroma: ArrayLike, hue: ArrayLike) -> Floats:
    """(colours, 3) CIELAB of every combination."""
    grid = np.meshgrid(lightness, chroma, np.radians(hue), indexing="ij")
    L, C, h = (axis.ravel() for axis in grid)
    return np.stack([L, C * np.cos(h), C * np.sin(h)], axis=1)
