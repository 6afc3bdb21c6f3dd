"""Which colours of a list lie within a CIEDE2000 of some mix, exactly, for millions of mixes.

A grid over CIELAB tells for each cell which colours could be near to anything in it; only those
are tried by the formula. "Could be" is a bound, not a guess. With the terms of the formula,

    ΔE00² >= (ΔL/S_L)² + (1 - |R_T|/2) (ΔC'² + ΔH'²) / S_C²,

because S_H <= S_C and the cross term is at most |R_T|/2 of the two squares it stands between.
ΔC'² + ΔH'² is the squared distance of (a', b), and a' only stretches a. S_L grows away from
L* = 50, S_C is 1 + 0.045 C' with C' at most 1.5 C. |R_T| is at most sqrt(3), or sqrt(3) / 2 times
R_C of the greatest C', which is little for dull colours; and next to nothing when both colours have
b >= 0, for then their mean hue is 95 degrees or more from 275.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.mix.circle import hue_from_wheel
from preview.optics.spectrum import Floats
from preview.palette.mixes import Ints
from preview.shape.compiled import compiled

Masks = NDArray[np.uint64]

# A mix less colourful than this shows no hue on a figure (common practice, no source).
HUE_CHROMA = 20.0
# What |R_T| leaves of the two squares: anywhere, and with both b >= 0.
LEFT_ANYWHERE, LEFT_ABOVE = 1.0 - math.sqrt(3.0) / 2.0, 1.0 - 1e-5
_L_STEP, _AB_STEP, _AB_MOST = 5.0, 6.0, 132.0


@dataclass(frozen=True, eq=False)
class Found:
    """What some sets of mixes reach, one row per set.

    mask : (sets, words) uint64, a bit per colour of the list that lies near.
    low, high : (sets,) L* of the darkest and the lightest mix.
    hues : (sets,) uint16, a bit per hue of the painters' circle that a colourful mix has.
    """

    mask: Masks
    low: Floats
    high: Floats
    hues: NDArray[np.uint16]

    def __or__(self, other: Found) -> Found:
        """What the one or the other reaches, row by row."""
        return Found(
            self.mask | other.mask,
            np.minimum(self.low, other.low),
            np.maximum(self.high, other.high),
            self.hues | other.hues,
        )

    def __getitem__(self, rows: NDArray[np.integer] | slice) -> Found:
        """Some of the rows."""
        return Found(self.mask[rows], self.low[rows], self.high[rows], self.hues[rows])

    def __setitem__(self, rows: NDArray[np.generic] | slice, found: Found) -> None:
        """Fill some of the rows."""
        self.mask[rows], self.low[rows] = found.mask, found.low
        self.high[rows], self.hues[rows] = found.high, found.hues

    @classmethod
    def nothing(cls, sets: int, words: int) -> Found:
        """Sets that reach nothing."""
        return cls(
            np.zeros((sets, words), np.uint64),
            np.full(sets, np.inf),
            np.full(sets, -np.inf),
            np.zeros(sets, np.uint16),
        )


class Nearby:
    """A list of colours, prepared to be looked for.

    Parameters
    ----------
    lab : (colours, 3) CIELAB.
    within : CIEDE2000 up to which a mix is near, in (0, 10]; one, or one per colour.
    """

    def __init__(self, lab: Floats, within: float | Floats) -> None:
        self.lab = np.ascontiguousarray(lab, dtype=np.float64)
        self.within = np.broadcast_to(np.asarray(within, dtype=np.float64), len(lab)).copy()
        self.words = (len(lab) + 63) // 64
        self.half_l = _half_lightness(self.lab, self.within)
        self.half_ab = _radius(self.lab, self.within)
        self.half_ab_above = _reach(self.lab, self.within, LEFT_ABOVE)
        self.begins, self.held = _cells(self.lab, self.half_l, self.half_ab, self.half_ab_above)
        self.hue_edges_deg = hue_edges_deg()

    def found(self, lab: Floats, but: Masks | None = None) -> Found:
        """What (sets, mixes, 3) CIELAB reach, with (sets, words) colours that need no looking for.

        The colours of `but` count as reached.
        """
        found = Found.nothing(len(lab), self.words)
        if but is not None:
            found.mask[:] = but
        _find(
            lab,
            self.lab,
            self.within,
            self.begins,
            self.held,
            (_L_STEP, _AB_STEP, _AB_MOST, 1.0 - LEFT_ANYWHERE, LEFT_ABOVE, HUE_CHROMA),
            self.hue_edges_deg,
            found.mask,
            found.low,
            found.high,
            found.hues,
        )
        return found

    def mask_of(self, chosen: NDArray[np.bool_]) -> Masks:
        """(words,): the bits of some colours of the list."""
        bits = np.zeros(self.words * 64, np.uint8)
        bits[: len(chosen)] = chosen
        return np.packbits(bits, bitorder="little").view("<u8").astype(np.uint64)


def joined(parts: Sequence[Found]) -> Found:
    """The rows of several, one after another."""
    return Found(
        np.concatenate([part.mask for part in parts]),
        np.concatenate([part.low for part in parts]),
        np.concatenate([part.high for part in parts]),
        np.concatenate([part.hues for part in parts]),
    )


def unpacked(mask: Masks, count: int) -> NDArray[np.bool_]:
    """(sets, colours) whether each colour is reached, from (sets, words) bits."""
    bits = np.ascontiguousarray(mask.astype("<u8")).view(np.uint8)
    return np.unpackbits(bits, axis=1, bitorder="little")[:, :count].astype(bool)


def hue_edges_deg() -> Floats:
    """(12,): where the twelve hues of the painters' circle begin, CIELAB degrees, rising.

    The first is the beginning of the second hue, red-orange.
    """
    edges = hue_from_wheel(np.arange(12) * 30.0 + 15.0)
    return np.asarray(np.where(edges < edges[0], edges + 360.0, edges))


def _half_lightness(lab: Floats, within: Floats) -> Floats:
    """(colours,): no colour that much lighter or darker is near."""
    # The mean of the two lightnesses is at most half of that away from the colour's own.
    most = np.minimum(np.abs(lab[:, 0] - 50.0) + 0.5 * within * 1.75, 50.0)
    return np.asarray(within * (1.0 + 0.015 * most**2 / np.sqrt(20.0 + most**2)))


def _radius(lab: Floats, within: Floats) -> Floats:
    """(colours,): no colour that far away in a* and b* is near."""
    radius = _reach(lab, within, LEFT_ANYWHERE)
    chroma = np.hypot(lab[:, 1], lab[:, 2])
    for _ in range(8):
        # What is near is not more colourful than this, so R_C is not greater, so less is near.
        seventh = (1.5 * (chroma + radius / 2.0)) ** 7
        left = 1.0 - (1.0 - LEFT_ANYWHERE) * np.sqrt(seventh / (seventh + 25.0**7))
        radius = _reach(lab, within, left)
    return radius


def _reach(lab: Floats, within: Floats, left: float | Floats) -> Floats:
    """(colours,): the same, where so much is left of the two squares."""
    reach = within / np.sqrt(left)
    chroma = np.hypot(lab[:, 1], lab[:, 2])
    # r <= reach (1 + 0.045 (1.5 C + r / 2)), solved for r
    return np.asarray(reach * (1.0 + 0.045 * 1.5 * chroma) / (1.0 - 0.045 * 0.5 * reach))


def _cells(
    lab: Floats, half_l: Floats, half_ab: Floats, half_ab_above: Floats
) -> tuple[NDArray[np.int64], Ints]:
    """Where the list of each cell begins, and the lists one after another."""
    near_l = _away(np.arange(0.0, 100.0, _L_STEP), _L_STEP, lab[:, 0]) <= half_l
    edges = np.arange(-_AB_MOST, _AB_MOST, _AB_STEP)
    away_a, away_b = (_away(edges, _AB_STEP, lab[:, axis]) for axis in (1, 2))
    away = np.hypot(away_a[:, None], away_b[None])
    above = (edges[:, None] >= 0.0) & (lab[:, 2] >= 0.0)
    radius = np.where(above, half_ab_above, half_ab)
    near = near_l[:, None, None] & (away <= radius)
    flat = near.reshape(-1, len(lab))
    begins = np.concatenate([[0], np.cumsum(flat.sum(axis=1))])
    return begins, np.nonzero(flat)[1].astype(np.int32)


def _away(edges: Floats, step: float, values: Floats) -> Floats:
    """(cells, colours): how far a value is from each cell; the outer cells have no end."""
    low, high = edges.copy(), edges + step
    low[0], high[-1] = -np.inf, np.inf
    return np.maximum(np.maximum(low[:, None] - values, values - high[:, None]), 0.0)


@compiled
def _find(
    lab: Floats,
    colours: Floats,
    within: Floats,
    begins: NDArray[np.int64],
    held: Ints,
    settings: tuple[float, float, float, float, float, float],
    hue_edges: Floats,
    mask: Masks,
    low: Floats,
    high: Floats,
    hues: NDArray[np.uint16],
) -> None:
    """Fill what each set reaches; the difference is CIEDE2000, see `preview.optics.ciede2000`."""
    l_step, ab_step, ab_most, half_root_3, left_above, hue_chroma = settings
    l_cells = int(100.0 / l_step)
    ab_cells = int(2.0 * ab_most / ab_step)
    for one in range(lab.shape[0]):
        for mix in range(lab.shape[1]):
            L1 = lab[one, mix, 0]
            a1 = lab[one, mix, 1]
            b1 = lab[one, mix, 2]
            low[one] = min(low[one], L1)
            high[one] = max(high[one], L1)
            C1 = math.sqrt(a1 * a1 + b1 * b1)
            if hue_chroma <= C1 and hues[one] != 4095:
                turn = (math.degrees(math.atan2(b1, a1)) - hue_edges[0]) % 360.0
                sector = 0
                while sector < 11 and turn >= hue_edges[sector + 1] - hue_edges[0]:
                    sector += 1
                hues[one] |= np.uint16(1 << ((sector + 1) % 12))
            i = min(max(int(L1 / l_step), 0), l_cells - 1)
            j = min(max(int((a1 + ab_most) / ab_step), 0), ab_cells - 1)
            k = min(max(int((b1 + ab_most) / ab_step), 0), ab_cells - 1)
            cell = (i * ab_cells + j) * ab_cells + k
            for place in range(begins[cell], begins[cell + 1]):
                colour = held[place]
                word = colour >> 6
                bit = np.uint64(1) << np.uint64(colour & 63)
                if mask[one, word] & bit:
                    continue
                L2 = colours[colour, 0]
                a2 = colours[colour, 1]
                b2 = colours[colour, 2]
                middle = (L1 + L2) / 2.0 - 50.0
                S_L = 1.0 + 0.015 * middle * middle / math.sqrt(20.0 + middle * middle)
                lightness = ((L2 - L1) / S_L) ** 2
                limit = within[colour] * within[colour]
                if lightness > limit:
                    continue
                C2 = math.sqrt(a2 * a2 + b2 * b2)
                most = 0.75 * (C1 + C2)
                left = left_above
                if b1 < 0.0 or b2 < 0.0:
                    seventh = most**7
                    left = 1.0 - half_root_3 * math.sqrt(seventh / (seventh + 25.0**7))
                most = 1.0 + 0.045 * most
                apart = (a2 - a1) ** 2 + (b2 - b1) ** 2
                if lightness + left * apart / (most * most) > limit:
                    continue
                # Equations 2 to 22 of Sharma, Wu & Dalal 2005
                seventh = ((C1 + C2) / 2.0) ** 7
                G = 0.5 * (1.0 - math.sqrt(seventh / (seventh + 25.0**7)))
                a1p = (1.0 + G) * a1
                a2p = (1.0 + G) * a2
                C1p = math.hypot(a1p, b1)
                C2p = math.hypot(a2p, b2)
                grey = C1p * C2p == 0.0
                h1 = math.degrees(math.atan2(b1, a1p)) % 360.0
                h2 = math.degrees(math.atan2(b2, a2p)) % 360.0
                turn = h2 - h1
                total = h1 + h2
                mean = total / 2.0
                if abs(turn) > 180.0:
                    mean = (total + 360.0 if total < 360.0 else total - 360.0) / 2.0
                    turn = turn - 360.0 if turn > 0.0 else turn + 360.0
                if grey:
                    turn = 0.0
                    mean = total
                dH = 2.0 * math.sqrt(C1p * C2p) * math.sin(math.radians(turn) / 2.0)
                Cp = (C1p + C2p) / 2.0
                T = (
                    1.0
                    - 0.17 * math.cos(math.radians(mean - 30.0))
                    + 0.24 * math.cos(math.radians(2.0 * mean))
                    + 0.32 * math.cos(math.radians(3.0 * mean + 6.0))
                    - 0.20 * math.cos(math.radians(4.0 * mean - 63.0))
                )
                d_theta = 30.0 * math.exp(-(((mean - 275.0) / 25.0) ** 2))
                seventh = Cp**7
                R_C = 2.0 * math.sqrt(seventh / (seventh + 25.0**7))
                R_T = -math.sin(math.radians(2.0 * d_theta)) * R_C
                dC = (C2p - C1p) / (1.0 + 0.045 * Cp)
                dH = dH / (1.0 + 0.015 * Cp * T)
                if lightness + dC * dC + dH * dH + R_T * dC * dH <= limit:
                    mask[one, word] |= bit
