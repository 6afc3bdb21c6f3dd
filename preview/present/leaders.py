"""Lines from spots to names beside a picture that do not cross one another."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from preview.optics.spectrum import Floats

Spot = tuple[float, float]


def uncrossed(spots: Sequence[Spot], x: float, heights: Sequence[float]) -> list[int]:
    """Which spot each height gets, so that no two straight lines to them cross.

    Every swap of two that cross makes the lines shorter together, so it comes to an end.

    Parameters
    ----------
    spots : where the lines begin, all on one side of `x`.
    x : where all lines end.
    heights : where they end, ascending; as many as there are spots.

    Returns
    -------
    Index into `spots` for each height.
    """
    order = sorted(range(len(spots)), key=lambda k: (spots[k][1], spots[k][0]))
    swapped = True
    while swapped:
        swapped = False
        for low, high in pairwise(range(len(order))):
            lines = [(spots[order[k]], (x, heights[k])) for k in (low, high)]
            if _cross(*lines):
                order[low], order[high] = order[high], order[low]
                swapped = True
    return order


def apart(points: Floats, least: float, rounds: int = 200) -> Floats:
    """Points moved as little as it takes to stand a distance from one another, or nearly so.

    Parameters
    ----------
    points : (points, 2).
    least : distance, in the unit of the points; > 0.
    rounds : most steps; crowds too large for their place stay closer.
    """
    placed = np.array(points, dtype=np.float64)
    # Points on one spot part along a direction of their own.
    turn = 2.399963 * np.arange(len(placed))
    away = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    for _ in range(rounds):
        gap = placed[:, None, :] - placed[None, :, :]
        far = np.linalg.norm(gap, axis=-1)
        near = (far < least - 1e-6) & ~np.eye(len(placed), dtype=bool)
        if not near.any():
            break
        same = far < 1e-9
        unit = np.where(same[..., None], away[:, None, :] - away[None, :, :], gap)
        length = np.maximum(np.linalg.norm(unit, axis=-1), 1e-12)
        push = np.where(near, 0.5 * (least - far), 0.0)[..., None] * unit / length[..., None]
        placed += 0.8 * push.sum(axis=1) / np.maximum(near.sum(axis=1), 1)[:, None]
    return placed


def _cross(first: tuple[Spot, Spot], second: tuple[Spot, Spot]) -> bool:
    """Whether two lines cross between their ends."""
    return (
        _side(*first, second[0]) * _side(*first, second[1]) < 0
        and _side(*second, first[0]) * _side(*second, first[1]) < 0
    )


def _side(start: Spot, end: Spot, point: Spot) -> float:
    """On which side of a line a point lies: above 0, below 0."""
    return (end[0] - start[0]) * (point[1] - start[1]) - (end[1] - start[1]) * (point[0] - start[0])
