"""Numbers out of long texts, without a Python object for each."""

from __future__ import annotations

import warnings
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Number = TypeVar("Number", np.float64, np.int64)

_LARGEST = 2**53


def numbers_in(text: bytes) -> NDArray[np.float64] | None:
    """All numbers of a text that holds nothing but numbers and white space; else None.

    "nan" and "inf" are numbers here, whatever their sign.
    """
    return _parsed(text, np.dtype(np.float64))


def whole_numbers_in(text: bytes) -> NDArray[np.int64] | None:
    """The same for whole numbers below 2**53, several times faster."""
    numbers = _parsed(text, np.dtype(np.int64))
    if numbers is None or not (np.abs(numbers) < _LARGEST).all():
        return None
    return numbers


def _parsed(text: bytes, kind: np.dtype[Number]) -> NDArray[Number] | None:
    """The numbers of one kind; None where something else stands between them."""
    with warnings.catch_warnings():
        # Before NumPy 2.3 a word that is no number gave this warning, since then a ValueError.
        warnings.simplefilter("error", DeprecationWarning)
        try:
            return np.fromstring(text, dtype=kind, sep=" ")
        except (ValueError, DeprecationWarning):
            return None
