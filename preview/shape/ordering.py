"""The order that sorts whole numbers, as fast as NumPy's plain sort."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def order_of(keys: NDArray[np.uint64], bits: int) -> NDArray[np.int64]:
    """The stable order that sorts `keys`: keys[order] never falls.

    Where key and place fit into 64 bits together, both are sorted as one number, which is several
    times faster than an indirect sort.

    Parameters
    ----------
    keys : (keys,) uint64, each below 2**bits.
    bits : how many bits a key needs, 1 to 64.
    """
    place_bits = max(1, (len(keys) - 1).bit_length()) if len(keys) else 1
    if bits + place_bits > 64:
        return np.argsort(keys, kind="stable")
    packed = keys << np.uint64(place_bits)
    packed |= np.arange(len(keys), dtype=np.uint64)
    packed.sort()
    packed &= np.uint64((1 << place_bits) - 1)
    return packed.view(np.int64)
