"""sRGB: encoded values, linear light, tristimulus values, hex."""

from __future__ import annotations

import re

import numpy as np
from numpy.typing import ArrayLike, NDArray

from preview.optics.cie1976_lab import lab_from_xyz, xyz_from_lab
from preview.optics.spectrum import Floats

# IEC 61966-2-1, linear sRGB to tristimulus values, as printed there (four decimals).
XYZ_FROM_LINEAR: Floats = np.array(
    [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
)
LINEAR_FROM_XYZ: Floats = np.asarray(np.linalg.inv(XYZ_FROM_LINEAR), dtype=np.float64)
SRGB_WHITE: Floats = XYZ_FROM_LINEAR.sum(axis=1)

_HEX = re.compile(r"#(?:[0-9a-fA-F]{3}|[0-9a-fA-F]{6})")


def linear_from_encoded(encoded: ArrayLike) -> Floats:
    """Linear light in [0, 1] from encoded sRGB in [0, 1]; any shape (IEC 61966-2-1)."""
    v = np.asarray(encoded, dtype=np.float64)
    return np.where(v <= 0.04045, v / 12.92, ((np.maximum(v, 0.0) + 0.055) / 1.055) ** 2.4)


def encoded_from_linear(linear: ArrayLike) -> Floats:
    """Encoded sRGB in [0, 1] from linear light, clipped to [0, 1]; any shape (IEC 61966-2-1)."""
    v = np.clip(np.asarray(linear, dtype=np.float64), 0.0, 1.0)
    return np.where(v <= 0.0031308, 12.92 * v, 1.055 * v ** (1.0 / 2.4) - 0.055)


def linear_from_srgb8(srgb8: ArrayLike) -> Floats:
    """Linear light in [0, 1] from 8-bit sRGB values 0-255; any shape."""
    return linear_from_encoded(np.asarray(srgb8, dtype=np.float64) / 255.0)


def srgb8_from_linear(linear: ArrayLike) -> NDArray[np.uint8]:
    """8-bit sRGB values 0-255 from linear light, clipped and rounded; any shape."""
    return np.floor(encoded_from_linear(linear) * 255.0 + 0.5).astype(np.uint8)


def xyz_from_linear(linear: ArrayLike) -> Floats:
    """(..., 3) tristimulus values, white Y = 1, from (..., 3) linear sRGB."""
    return np.asarray(np.asarray(linear, dtype=np.float64) @ XYZ_FROM_LINEAR.T)


def linear_from_xyz(xyz: ArrayLike) -> Floats:
    """(..., 3) linear sRGB, out of gamut below 0 or above 1, from tristimulus values."""
    return np.asarray(np.asarray(xyz, dtype=np.float64) @ LINEAR_FROM_XYZ.T)


def srgb8_from_hex(text: str) -> NDArray[np.uint8]:
    """8-bit values from "#rrggbb" or "#rgb".

    Parameters
    ----------
    text : the colour as written.

    Returns
    -------
    (3,) 0-255.

    Raises
    ------
    ValueError : the text is no such colour.
    """
    if not _HEX.fullmatch(text):
        raise ValueError(f'"{text}" is no colour of the form "#rrggbb"')
    digits = text[1:] if len(text) == 7 else "".join(2 * digit for digit in text[1:])
    return np.frombuffer(bytes.fromhex(digits), dtype=np.uint8)


def hex_from_srgb8(srgb8: ArrayLike) -> str:
    """ "#rrggbb" from (3,) 8-bit values."""
    red, green, blue = (int(v) for v in np.asarray(srgb8))
    return f"#{red:02x}{green:02x}{blue:02x}"


def lab_from_hex(text: str) -> Floats:
    """(3,) CIELAB (D65, 2 degrees) of "#rrggbb"; ValueError when it is no such colour."""
    return lab_from_xyz(xyz_from_linear(linear_from_srgb8(srgb8_from_hex(text))), SRGB_WHITE)


def hex_from_lab(lab: ArrayLike) -> str:
    """ "#rrggbb" of (3,) CIELAB (D65, 2 degrees), clipped to the gamut."""
    return hex_from_srgb8(srgb8_from_linear(linear_from_xyz(xyz_from_lab(lab, SRGB_WHITE))))
