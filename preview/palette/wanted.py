"""The colour that is wanted: as hex or as CIELAB."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from preview.errors import UsageError
from preview.optics.spectrum import Floats
from preview.optics.srgb_iec61966 import hex_from_lab, lab_from_hex
from preview.rack.colour import is_of_a_surface

MOST_CHROMATIC = 200.0
_FIX = 'write it as "#8a4b2a", or as CIELAB under D65: "lab 52 20 -10"'


@dataclass(frozen=True, eq=False)
class Wanted:
    """A colour to mix.

    lab : (3,) CIELAB under D65, 2 degrees.
    said : how it was named, for people.
    notes : what to know of it, one sentence each.
    """

    lab: Floats
    said: str
    notes: tuple[str, ...] = ()

    @property
    def srgb(self) -> str:
        """ "#rrggbb", clipped to the gamut of sRGB."""
        return hex_from_lab(self.lab)


def read_colour(text: str) -> Wanted:
    """The colour of a hex or of "lab L a b".

    Parameters
    ----------
    text : "#rrggbb", "#rgb", either also without its "#", or "lab 52 20 -10" (D65, 2 degrees).

    Raises
    ------
    UsageError : the text is neither, or no surface can have the colour.
    """
    words = text.replace(",", " ").split()
    if words and words[0].lower() == "lab":
        return _from_lab(text, words[1:])
    try:
        hexed = "#" + text.strip().removeprefix("#").lower()
        return Wanted(lab_from_hex(hexed), hexed)
    except ValueError as error:
        raise _slip(f'"{text}" is no colour') from error


def _from_lab(text: str, words: list[str]) -> Wanted:
    """The colour of three numbers."""
    try:
        numbers = [float(word) for word in words]
    except ValueError as error:
        raise _slip(f'"{text}" has a word that is no number') from error
    if len(numbers) != 3 or not all(map(math.isfinite, numbers)):
        raise _slip(f'"{text}" must have three numbers after lab: L*, a*, b*')
    lightness, a, b = numbers
    if not 0.0 <= lightness <= 100.0 or max(abs(a), abs(b)) > MOST_CHROMATIC:
        raise _slip(f'"{text}": L* is from 0 to 100, a* and b* from -200 to 200')
    if not is_of_a_surface((lightness, a, b)):
        raise _slip(f'no paint can have the colour "{text}"')
    return Wanted(np.array(numbers), "lab " + " ".join(f"{number:g}" for number in numbers))


def _slip(what: str) -> UsageError:
    """One slip in the colour."""
    return UsageError(what, "command line, COLOUR", _FIX)
