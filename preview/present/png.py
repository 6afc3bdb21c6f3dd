"""Pictures as PNG, several times as fast as by a general writer."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

_SIGNATURE = b"\x89PNG\r\n\x1a\n"
_COLOUR_TYPE = {3: 2, 4: 6}
_BYTE = 8
_UP = 2
# Level 3 with run lengths alone: files as small as a general writer's at level 2, in half the time.
_LEVEL, _WINDOW_BITS, _MEMORY = 3, 15, 9


def write_png(path: Path, picture: NDArray[np.uint8]) -> None:
    """Write a picture as PNG.

    Each row is stored as its difference to the row above: a drawn figure before a soft backdrop
    leaves no other filter much to gain, and trying all on every row takes most of the time.

    Parameters
    ----------
    picture : (height, width, 3 or 4) uint8, sRGB, alpha straight.

    References
    ----------
    W3C (2003), "Portable Network Graphics (PNG) Specification (Second Edition)", also
    ISO/IEC 15948: chunks in 5, filter type 2 in 9.2.
    """
    height, width, channels = picture.shape
    rows = picture.reshape(height, -1)
    filtered = np.empty((height, 1 + rows.shape[1]), np.uint8)
    filtered[:, 0] = _UP
    filtered[0, 1:] = rows[0]
    np.subtract(rows[1:], rows[:-1], out=filtered[1:, 1:])
    packer = zlib.compressobj(_LEVEL, zlib.DEFLATED, _WINDOW_BITS, _MEMORY, zlib.Z_RLE)
    header = struct.pack(">IIBBBBB", width, height, _BYTE, _COLOUR_TYPE[channels], 0, 0, 0)
    data = packer.compress(filtered.tobytes()) + packer.flush()
    path.write_bytes(
        _SIGNATURE + _chunk(b"IHDR", header) + _chunk(b"IDAT", data) + _chunk(b"IEND", b"")
    )


def _chunk(kind: bytes, data: bytes) -> bytes:
    """One chunk: length, kind, data, and the check of the last two."""
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
