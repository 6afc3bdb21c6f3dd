"""Colours that some programs hide in the two spare bytes of a binary STL face.

Two ways exist that contradict each other; the header tells which. Common practice, no source.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.colours import labels_from_colours
from preview.areas.soup import Labels

_OWN = 0x8000


def labels_from_words(header: bytes, words: NDArray[np.uint16]) -> Labels | None:
    """Areas by the colours of faces; None when the words hold no colours.

    With "COLOR=" in the header, bit 15 is clear for a face with a colour of its own and red has
    the lowest bits; without it, bit 15 is set and blue has the lowest. Faces without a colour of
    their own get no label.

    Parameters
    ----------
    header : the 80 bytes at the file's start.
    words : (faces,) uint16.
    """
    red_first = b"COLOR=" in header
    own = ((words & _OWN) == 0) if red_first else ((words & _OWN) != 0)
    if not own.any():
        return None
    fives = np.stack([(words >> shift) & 31 for shift in (0, 5, 10)], axis=1)
    srgb8 = np.rint((fives if red_first else fives[:, ::-1]) * (255 / 31)).astype(np.int64)
    labels = labels_from_colours(srgb8[own])
    of_face = np.full(len(words), -1, np.int32)
    of_face[own] = labels.of_face
    return Labels(labels.kind, labels.names, of_face)
