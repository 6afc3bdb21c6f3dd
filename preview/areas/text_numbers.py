"""Numbers out of long texts, without a Python object for each."""

from __future__ import annotations

import warnings

import numpy as np
from numpy.typing import NDArray


def numbers_in(text: bytes) -> NDArray[np.float64] | None:
    """All numbers of a text that holds nothing but numbers and white space; else None.

    "nan" and "inf" are numbers here, whatever their sign.
    """
    with warnings.catch_warnings():
        # Before NumPy 2.3 a word that is no number gave this warning, since then a ValueError.
        warnings.simplefilter("error", DeprecationWarning)
        try:
            return np.asarray(np.fromstring(text, dtype=np.float64, sep=" "))
        except (ValueError, DeprecationWarning):
            return None
