"""Names for surfaces that a file tells apart by colour alone."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from preview.areas.soup import Labels

_MOST = 64


def labels_from_colours(srgb8: NDArray[np.integer]) -> Labels:
    """One label for each distinct colour, named by its sRGB value such as "#8c6a3f".

    A face whose corners differ takes the colour that most of its corners have, else that of its
    first corner. More than 64 colours are a painting and not areas: then no face is labelled.

    Parameters
    ----------
    srgb8 : (faces, 3) or (faces, corners, 3) int in 0 ... 255.
    """
    colour = srgb8.astype(np.int64)
    packed = (colour[..., 0] << 16) | (colour[..., 1] << 8) | colour[..., 2]
    if packed.ndim == 2:
        a, b, c = packed.T
        packed = np.where((b == c) & (a != b), b, a)
    values, of_face = np.unique(packed, return_inverse=True)
    if len(values) > _MOST:
        return Labels("colours", (), np.full(len(packed), -1, np.int32))
    names = tuple(f"#{int(value):06x}" for value in values)
    return Labels("colours", names, of_face.ravel().astype(np.int32))
