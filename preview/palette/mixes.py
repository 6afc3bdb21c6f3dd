"""What the whole-drop mixes of very many sets of pots look like."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.mix.ratios import full_ratios
from preview.mix.recipes import constants_of
from preview.optics.spectrum import Floats
from preview.optics.weights import weights, white
from preview.rack.paint import Paint
from preview.shape.compiled import compiled

MOST_DROPS = 8

Ints = NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Pots:
    """K, S and surface of the paints to choose from.

    absorption, scattering : (paints, 31).
    surface : (paints, 2), Saunderson's k1 and k2.
    """

    absorption: Floats
    scattering: Floats
    surface: Floats

    @classmethod
    def of(cls, paints: list[Paint]) -> Pots:
        """Those of some paints, in their order."""
        return cls(*(np.ascontiguousarray(part) for part in constants_of(paints)))


def lab_of_full_mixes(pots: Pots, members: Ints) -> Floats:
    """CIELAB of every mix that uses all pots of a set.

    With the mixes of its subsets these are all whole-drop mixes of at most `MOST_DROPS` drops,
    each once: mixes that sets share need working out once only.

    Parameters
    ----------
    pots : the paints.
    members : (sets, pots) indices of paints.

    Returns
    -------
    (sets, mixes, 3) CIELAB under D65, 2 degrees: 1, 21, 52 and 69 mixes of one to four pots.
    """
    full = full_ratios(members.shape[1], MOST_DROPS)
    share = full / full.sum(axis=1, keepdims=True)
    lab = np.empty((len(members), len(share), 3))
    _mix(pots.absorption, pots.scattering, pots.surface, members, share, relative_weights(), lab)
    return lab


def relative_weights() -> Floats:
    """(3, 31): this times a reflectance is X, Y, Z as shares of the white's under D65."""
    return np.ascontiguousarray((weights() / white()).T)


def pairs_of(count: int) -> Ints:
    """(pairs, 2): every two of so many paints, in the order of `pair_place`."""
    found = [(i, j) for j in range(count) for i in range(j)]
    return np.array(found, dtype=np.int32).reshape(-1, 2)


def pair_place(members: Ints) -> NDArray[np.int64]:
    """(...,): where a pair (..., 2) stands among all pairs."""
    low, high = (part.astype(np.int64) for part in np.moveaxis(np.sort(members, axis=-1), -1, 0))
    return np.asarray(high * (high - 1) // 2 + low)


def triple_place(members: Ints) -> NDArray[np.int64]:
    """(...,): where a triple (..., 3) stands among all triples."""
    ordered = np.moveaxis(np.sort(members, axis=-1), -1, 0)
    i, j, k = (part.astype(np.int64) for part in ordered)
    return np.asarray(k * (k - 1) * (k - 2) // 6 + j * (j - 1) // 2 + i)


@compiled
def _mix(
    absorption: Floats,
    scattering: Floats,
    surface: Floats,
    members: Ints,
    share: Floats,
    weight: Floats,
    lab: Floats,
) -> None:
    """Fill `lab` with every mix of every set: Duncan's sums, Kubelka-Munk, Saunderson, CIELAB."""
    bands = absorption.shape[1]
    reflectance = np.empty(bands)
    K = np.empty(bands)
    S = np.empty(bands)
    weight_x, weight_y, weight_z = weight[0], weight[1], weight[2]
    xyz = np.empty((share.shape[0], 3))
    for one in range(members.shape[0]):
        for mix in range(share.shape[0]):
            k1 = 0.0
            k2 = 0.0
            K[:] = 0.0
            S[:] = 0.0
            for pot in range(members.shape[1]):
                part = share[mix, pot]
                paint = members[one, pot]
                k1 += part * surface[paint, 0]
                k2 += part * surface[paint, 1]
                own_K = absorption[paint]
                own_S = scattering[paint]
                for band in range(bands):
                    K[band] += part * own_K[band]
                    S[band] += part * own_S[band]
            # With q = K/S it is 1 / (1 + q + sqrt(q (q + 2))) inside and k1 + gain inside / (1 - k2
            # inside) outside, here with one division
            gain = (1.0 - k1) * (1.0 - k2)
            for band in range(bands):
                deep = K[band] + np.sqrt(K[band] * (K[band] + 2.0 * S[band]))
                reflectance[band] = k1 + gain * S[band] / (S[band] * (1.0 - k2) + deep)
            x = 0.0
            y = 0.0
            z = 0.0
            for band in range(bands):
                x += reflectance[band] * weight_x[band]
                y += reflectance[band] * weight_y[band]
                z += reflectance[band] * weight_z[band]
            xyz[mix, 0] = x
            xyz[mix, 1] = y
            xyz[mix, 2] = z
        # CIE 15: the cube root, with its straight foot. The root by two square roots of square
        # roots, x^(5/16), and three steps of Halley's: exact to rounding, and many at once.
        for mix in range(share.shape[0]):
            for axis in range(3):
                value = xyz[mix, axis]
                root = np.sqrt(np.sqrt(value))
                root *= np.sqrt(np.sqrt(root))
                for _ in range(3):
                    cube = root * root * root
                    root *= (cube + 2.0 * value) / (2.0 * cube + value)
                foot = 841.0 / 108.0 * value + 16.0 / 116.0
                xyz[mix, axis] = root if value > (24.0 / 116.0) ** 3 else foot
        for mix in range(share.shape[0]):
            lab[one, mix, 0] = 116.0 * xyz[mix, 1] - 16.0
            lab[one, mix, 1] = 500.0 * (xyz[mix, 0] - xyz[mix, 1])
            lab[one, mix, 2] = 200.0 * (xyz[mix, 1] - xyz[mix, 2])
