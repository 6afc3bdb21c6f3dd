"""Borders between areas in a picture as smooth lines, ready for a pen."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Node = tuple[int, int]

_ROUNDS = 6


@dataclass(frozen=True, eq=False)
class BorderLine:
    """One run of border between two areas.

    first, second : areas, first < second.
    points : (points, 2) float64, x and y in pixels; the last is the first where it closes.
    """

    first: int
    second: int
    points: Floats

    @property
    def length(self) -> float:
        """Pixels along the line."""
        return float(np.linalg.norm(np.diff(self.points, axis=0), axis=1).sum())


def border_lines(label: NDArray[np.int32], shortest: float = 3.0) -> list[BorderLine]:
    """All borders between areas of a label picture.

    The sides of pixels between two areas are chained into runs, and the runs smoothed, so that a
    slanting border is a line and no staircase. Ends and corners between three areas stay put.

    Parameters
    ----------
    label : (rows, columns) int32, area of each pixel; below 0 is none.
    shortest : pixels; shorter runs are left out.
    """
    lines = []
    for (first, second), links in sorted(_links(label).items()):
        for chain in _chains(links):
            points = _smooth(np.array(chain, float)[:, ::-1])
            line = BorderLine(first, second, _thinned(points))
            if line.length >= shortest:
                lines.append(line)
    return lines


def _links(label: NDArray[np.int32]) -> dict[tuple[int, int], dict[Node, list[Node]]]:
    """Per pair of areas: corner of a pixel -> corners that a side of their border leads to."""
    found: dict[tuple[int, int], dict[Node, list[Node]]] = defaultdict(lambda: defaultdict(list))
    for a, b, down in ((label[:, :-1], label[:, 1:], True), (label[:-1], label[1:], False)):
        rows, columns = np.nonzero((a != b) & (a >= 0) & (b >= 0))
        one, other = a[rows, columns], b[rows, columns]
        low, high = np.minimum(one, other), np.maximum(one, other)
        for k in range(len(rows)):
            row, column = int(rows[k]), int(columns[k])
            start = (row, column + 1) if down else (row + 1, column)
            end = (row + 1, column + 1)
            links = found[int(low[k]), int(high[k])]
            links[start].append(end)
            links[end].append(start)
    return found


def _chains(links: dict[Node, list[Node]]) -> list[list[Node]]:
    """The links as runs from end to end, then what is left as closed runs."""
    left = {node: list(others) for node, others in links.items()}
    ends = [node for node in sorted(left) if len(left[node]) != 2]
    chains = [_walk(left, node) for node in (*ends, *sorted(left)) for _ in range(len(left[node]))]
    return [chain for chain in chains if len(chain) > 1]


def _walk(left: dict[Node, list[Node]], start: Node) -> list[Node]:
    """Follow links from a corner until they end or branch, using them up."""
    chain = [start]
    while left[chain[-1]]:
        here = chain[-1]
        there = left[here].pop(0)
        left[there].remove(here)
        chain.append(there)
        if there == start or len(left[there]) != 1:
            break
    return chain


def _thinned(points: Floats) -> Floats:
    """Every second point and the last: smoothed ones stand closer than a pen needs."""
    return np.concatenate([points[:-1:2], points[-1:]])


def _smooth(points: Floats) -> Floats:
    """Points moved towards the middle of their neighbours a few times; ends stay."""
    closed = bool((points[0] == points[-1]).all()) and len(points) > 4
    for _ in range(_ROUNDS):
        if closed:
            ring = points[:-1]
            ring = 0.25 * np.roll(ring, 1, 0) + 0.5 * ring + 0.25 * np.roll(ring, -1, 0)
            points = np.concatenate([ring, ring[:1]])
        elif len(points) > 2:
            inner = 0.25 * points[:-2] + 0.5 * points[1:-1] + 0.25 * points[2:]
            points = np.concatenate([points[:1], inner, points[-1:]])
    return points
