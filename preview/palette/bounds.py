"""What mixes can reach at most, without mixing every set of pots.

Sets that differ in their pale pot alone share a bound. In each whole-drop ratio of the other three
K/S grows with the pale pot's K and falls with its S, so band by band it lies between its values for
the least K with the greatest S of all pale pots and for the greatest K with the least S. So does
the reflectance, which falls as K/S grows; and with the bands the tristimulus values lie between two
numbers each. A colour can be reached only when its surroundings (see `preview.palette.near`) touch
that box. Off-whites are much alike beside other pots, so such boxes are small.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from preview.mix.ratios import full_ratios
from preview.optics.spectrum import Floats
from preview.palette.mixes import MOST_DROPS, Ints, Pots, relative_weights
from preview.palette.near import HUE_CHROMA, Found, Masks, Nearby
from preview.shape.compiled import compiled

# K and S per band, and the two Saunderson constants.
_Paint = tuple[Floats, Floats, ArrayLike]


def most_of_fours(pots: Pots, trios: Ints, pales: Ints, nearby: Nearby) -> Found:
    """What mixes of all of a trio and any one pale pot may reach; never less than they do.

    Parameters
    ----------
    pots : the paints.
    trios : (sets, 3) indices of paints.
    pales : (paints,) indices of pale pots.
    nearby : the colours.
    """
    K, S, surface = (part[pales] for part in (pots.absorption, pots.scattering, pots.surface))
    lightest = (K.min(axis=0), S.max(axis=0), (surface[:, 0].max(), surface[:, 1].min()))
    darkest = (K.max(axis=0), S.min(axis=0), (surface[:, 0].min(), surface[:, 1].max()))
    both, sets = _with_two(pots, trios, lightest, darkest)
    full = full_ratios(4, MOST_DROPS)
    found = Found.nothing(len(trios), nearby.words)
    for share in full / full.sum(axis=1, keepdims=True):
        corners = np.array([[*share, 0.0], [*share[:3], 0.0, share[3]]])
        _most(both, sets, corners, nearby, found)
    return found


def most_with_any(pots: Pots, members: Ints, others: Ints, nearby: Nearby) -> Found:
    """What any mixes of each set together with any others may reach; never less than they do.

    Parameters
    ----------
    pots : the paints.
    members : (sets, pots) indices of paints.
    others : (paints,) indices of further paints, of which a mix may hold any.
    nearby : the colours.
    """
    ratio = pots.absorption[others] / pots.scattering[others]
    surface, one = pots.surface[others], np.ones(ratio.shape[1])
    lightest = (ratio.min(axis=0), one, surface.min(axis=0))
    darkest = (ratio.max(axis=0), one, surface.max(axis=0))
    both, sets = _with_two(pots, members, lightest, darkest)
    found = Found.nothing(len(members), nearby.words)
    _most(both, sets, np.eye(sets.shape[1]), nearby, found)
    return found


def _with_two(pots: Pots, members: Ints, one: _Paint, other: _Paint) -> tuple[Pots, Ints]:
    """The paints with two more that no pot holds; and sets that hold both."""
    K, S, surface = zip(one, other, strict=True)
    count = len(pots.absorption)
    ends = np.tile(np.array([count, count + 1], dtype=np.int32), (len(members), 1))
    more = Pots(
        np.concatenate([pots.absorption, K]),
        np.concatenate([pots.scattering, S]),
        np.concatenate([pots.surface, surface]),
    )
    return more, np.concatenate([members, ends], axis=1)


def _most(pots: Pots, members: Ints, corners: Floats, nearby: Nearby, found: Found) -> None:
    """Add to `found` what mixes may reach whose shares lie between the rows of `corners`."""
    _bound(
        pots.absorption,
        pots.scattering,
        pots.surface,
        members,
        corners,
        relative_weights(),
        nearby.lab,
        nearby.half_l,
        nearby.half_ab,
        nearby.half_ab_above,
        nearby.hue_edges_deg,
        HUE_CHROMA,
        found.mask,
        found.low,
        found.high,
        found.hues,
    )


@compiled
def _bound(
    absorption: Floats,
    scattering: Floats,
    surface: Floats,
    members: Ints,
    corners: Floats,
    weight: Floats,
    colours: Floats,
    half_l: Floats,
    half_ab: Floats,
    half_ab_above: Floats,
    hue_edges: Floats,
    hue_chroma: float,
    mask: Masks,
    low: Floats,
    high: Floats,
    hues: NDArray[np.uint16],
) -> None:
    """Fill what each set may reach."""
    bands = absorption.shape[1]
    K = np.empty(bands)
    S = np.empty(bands)
    q_low = np.empty(bands)
    q_high = np.empty(bands)
    least = np.empty(bands)
    most = np.empty(bands)
    f_low = np.empty(3)
    f_high = np.empty(3)
    slope_low = np.empty(3)
    slope_high = np.empty(3)
    # X - Y and Y - Z, which a* and b* grow with.
    step_low = np.empty(2)
    step_high = np.empty(2)
    tint_low = np.empty(2)
    tint_high = np.empty(2)
    epsilon = (24.0 / 116.0) ** 3
    for one in range(members.shape[0]):
        # Find the least and the greatest reflectance of each band.
        k1_low = 1.0
        k1_high = 0.0
        k2_low = 1.0
        k2_high = 0.0
        q_low[:] = np.inf
        q_high[:] = 0.0
        for corner in range(corners.shape[0]):
            k1 = 0.0
            k2 = 0.0
            K[:] = 0.0
            S[:] = 0.0
            for pot in range(members.shape[1]):
                part = corners[corner, pot]
                k1 += part * surface[members[one, pot], 0]
                k2 += part * surface[members[one, pot], 1]
                own_K = absorption[members[one, pot]]
                own_S = scattering[members[one, pot]]
                for band in range(bands):
                    K[band] += part * own_K[band]
                    S[band] += part * own_S[band]
            k1_low = min(k1_low, k1)
            k1_high = max(k1_high, k1)
            k2_low = min(k2_low, k2)
            k2_high = max(k2_high, k2)
            for band in range(bands):
                q = K[band] / S[band]
                q_low[band] = min(q_low[band], q)
                q_high[band] = max(q_high[band], q)
        dark = (1.0 - k1_low) * (1.0 - k2_high)
        light = (1.0 - k1_high) * (1.0 - k2_low)
        for band in range(bands):
            q = q_high[band]
            least[band] = k1_low + dark / (1.0 - k2_high + q + np.sqrt(q * (q + 2.0)))
            q = q_low[band]
            most[band] = k1_high + light / (1.0 - k2_low + q + np.sqrt(q * (q + 2.0)))

        # Sum the bands to the least and greatest X, Y, Z, X - Y and Y - Z, all relative to white.
        for axis in range(3):
            value_low = 0.0
            value_high = 0.0
            for band in range(bands):
                share = weight[axis, band]
                value_low += share * (least[band] if share > 0.0 else most[band])
                value_high += share * (most[band] if share > 0.0 else least[band])
            value_low = max(value_low, 0.0)
            root = np.cbrt(value_low)
            f_low[axis] = root if value_low > epsilon else 841.0 / 108.0 * value_low + 16.0 / 116.0
            slope_high[axis] = 1.0 / (3.0 * root * root) if value_low > epsilon else 841.0 / 108.0
            root = np.cbrt(value_high)
            f_high[axis] = (
                root if value_high > epsilon else 841.0 / 108.0 * value_high + 16.0 / 116.0
            )
            slope_low[axis] = 1.0 / (3.0 * root * root) if value_high > epsilon else 841.0 / 108.0
        for axis in range(2):
            step_low[axis] = 0.0
            step_high[axis] = 0.0
            for band in range(bands):
                share = weight[axis, band] - weight[axis + 1, band]
                step_low[axis] += share * (least[band] if share > 0.0 else most[band])
                step_high[axis] += share * (most[band] if share > 0.0 else least[band])
            # f(X) - f(Y) is a slope of f between the two times X - Y, and the slope falls.
            steep = max(slope_high[axis], slope_high[axis + 1])
            flat = min(slope_low[axis], slope_low[axis + 1])
            scale = 500.0 if axis == 0 else 200.0
            by_step = step_low[axis] * (steep if step_low[axis] < 0.0 else flat)
            tint_low[axis] = scale * max(by_step, f_low[axis] - f_high[axis + 1])
            by_step = step_high[axis] * (steep if step_high[axis] > 0.0 else flat)
            tint_high[axis] = scale * min(by_step, f_high[axis] - f_low[axis + 1])
        L_low = 116.0 * f_low[1] - 16.0
        L_high = 116.0 * f_high[1] - 16.0
        low[one] = min(low[one], L_low)
        high[one] = max(high[one], L_high)

        # Which colours have surroundings that touch the box?
        for colour in range(colours.shape[0]):
            L = colours[colour, 0]
            if L + half_l[colour] < L_low or L - half_l[colour] > L_high:
                continue
            away_a = max(tint_low[0] - colours[colour, 1], colours[colour, 1] - tint_high[0], 0.0)
            away_b = max(tint_low[1] - colours[colour, 2], colours[colour, 2] - tint_high[1], 0.0)
            above = tint_low[1] >= 0.0 and colours[colour, 2] >= 0.0
            half = half_ab_above[colour] if above else half_ab[colour]
            if away_a * away_a + away_b * away_b <= half * half:
                mask[one, colour >> 6] |= np.uint64(1) << np.uint64(colour & 63)

        # Which hues has the box outside the neutral middle? Its part within a hue is a polygon,
        # whose farthest point is a corner of the box or lies on one of the two border rays.
        for edge in range(12):
            angle = math.radians(hue_edges[edge])
            enter = 0.0
            leave = np.inf
            for axis in range(2):
                along = math.cos(angle) if axis == 0 else math.sin(angle)
                if abs(along) < 1e-9:
                    if tint_low[axis] > 1e-6 or tint_high[axis] < -1e-6:
                        leave = -1.0
                    continue
                first = tint_low[axis] / along
                second = tint_high[axis] / along
                enter = max(enter, min(first, second))
                leave = min(leave, max(first, second))
            if leave >= enter and leave >= hue_chroma:
                hues[one] |= np.uint16(1 << ((edge + 1) % 12))
                hues[one] |= np.uint16(1 << edge)
        for corner in range(4):
            a = tint_low[0] if corner & 1 else tint_high[0]
            b = tint_low[1] if corner & 2 else tint_high[1]
            if math.hypot(a, b) >= hue_chroma:
                turn = (math.degrees(math.atan2(b, a)) - hue_edges[0]) % 360.0
                sector = 0
                while sector < 11 and turn >= hue_edges[sector + 1] - hue_edges[0]:
                    sector += 1
                hues[one] |= np.uint16(1 << ((sector + 1) % 12))
