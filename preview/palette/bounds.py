"""What the mixes of four pots together can reach at most, without mixing them.

In a mix of at most eight drops that uses all four pots each pot has from 1/8 to 5/8. K/S of such
a mix is a quotient of sums that are linear in the shares, so over all such shares it is greatest
and least at the corners, 5:1:1:1 and its turns. So is, band by band, the reflectance, which falls
as K/S grows; and with the bands the tristimulus values lie between two numbers each. A colour can
be reached only when its surroundings (see `preview.palette.near`) touch that box.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from preview.optics.spectrum import Floats
from preview.palette.mixes import MOST_DROPS, Ints, Pots, relative_weights
from preview.palette.near import HUE_CHROMA, Found, Masks, Nearby
from preview.shape.compiled import compiled

POTS = 4


def most_of_fours(pots: Pots, members: Ints, nearby: Nearby) -> Found:
    """What the mixes that use all four pots of each set may reach; never less than they do.

    Parameters
    ----------
    pots : the paints.
    members : (sets, 4) indices of paints.
    nearby : the colours.
    """
    least = 1.0 / MOST_DROPS
    corners = np.full((POTS, POTS), least) + np.eye(POTS) * (1.0 - POTS * least)
    return _most(pots, members, corners, nearby)


def most_with_any(pots: Pots, members: Ints, others: Ints, nearby: Nearby) -> Found:
    """What any mixes of each set together with any others may reach; never less than they do.

    Parameters
    ----------
    pots : the paints.
    members : (sets, pots) indices of paints.
    others : (paints,) indices of further paints, of which a mix may hold any.
    nearby : the colours.
    """
    # Two paints that no pot holds stand for the others: least and most K/S, band by band.
    ratio = pots.absorption[others] / pots.scattering[others]
    surface = pots.surface[others]
    ends = [ratio.min(axis=0), ratio.max(axis=0)]
    both = Pots(
        np.concatenate([pots.absorption, ends]),
        np.concatenate([pots.scattering, np.ones_like(ends)]),
        np.concatenate([pots.surface, [surface.min(axis=0), surface.max(axis=0)]]),
    )
    count = len(pots.absorption)
    two = np.tile(np.array([count, count + 1], dtype=np.int32), (len(members), 1))
    sets = np.concatenate([members, two], axis=1)
    return _most(both, sets, np.eye(sets.shape[1]), nearby)


def _most(pots: Pots, members: Ints, corners: Floats, nearby: Nearby) -> Found:
    """What mixes may reach whose shares lie between the rows of `corners`."""
    found = Found.nothing(len(members), nearby.words)
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
        nearby.hue_edges_deg,
        HUE_CHROMA,
        found.mask,
        found.low,
        found.high,
        found.hues,
    )
    return found


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
    hue_edges: Floats,
    hue_chroma: float,
    mask: Masks,
    low: Floats,
    high: Floats,
    hues: NDArray[np.uint16],
) -> None:
    """Fill what each set of four may reach."""
    bands = absorption.shape[1]
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
        for pot in range(members.shape[1]):
            k1_low = min(k1_low, surface[members[one, pot], 0])
            k1_high = max(k1_high, surface[members[one, pot], 0])
            k2_low = min(k2_low, surface[members[one, pot], 1])
            k2_high = max(k2_high, surface[members[one, pot], 1])
        for band in range(bands):
            q_low = np.inf
            q_high = 0.0
            for corner in range(corners.shape[0]):
                K = 0.0
                S = 0.0
                for pot in range(members.shape[1]):
                    K += corners[corner, pot] * absorption[members[one, pot], band]
                    S += corners[corner, pot] * scattering[members[one, pot], band]
                q_low = min(q_low, K / S)
                q_high = max(q_high, K / S)
            dark = 1.0 / (1.0 + q_high + math.sqrt(q_high * (q_high + 2.0)))
            light = 1.0 / (1.0 + q_low + math.sqrt(q_low * (q_low + 2.0)))
            least[band] = k1_low + (1.0 - k1_low) * (1.0 - k2_high) * dark / (1.0 - k2_high * dark)
            most[band] = k1_high + (1.0 - k1_high) * (1.0 - k2_low) * light / (1.0 - k2_low * light)

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
        low[one] = 116.0 * f_low[1] - 16.0
        high[one] = 116.0 * f_high[1] - 16.0

        # Which colours have surroundings that touch the box?
        for colour in range(colours.shape[0]):
            L = colours[colour, 0]
            if L + half_l[colour] < low[one] or L - half_l[colour] > high[one]:
                continue
            away_a = max(tint_low[0] - colours[colour, 1], colours[colour, 1] - tint_high[0], 0.0)
            away_b = max(tint_low[1] - colours[colour, 2], colours[colour, 2] - tint_high[1], 0.0)
            if away_a * away_a + away_b * away_b <= half_ab[colour] * half_ab[colour]:
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
