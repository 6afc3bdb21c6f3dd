"""Things tied to each other by links, and the shortest ways between them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.shape.compiled import compiled

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class Net:
    """For each thing the links that end at it.

    start : (things + 1,) int32, where each one's entries begin.
    other : (entries,) int32, the thing at the far end; two entries a link.
    link : (entries,) int32, which link it is.
    """

    start: Ints
    other: Ints
    link: Ints

    @classmethod
    def of(cls, count: int, left: Ints, right: Ints) -> Net:
        """The net of `count` things, each `left` tied to its `right`."""
        start = np.zeros(count + 1, np.int32)
        other = np.empty(2 * len(left), np.int32)
        link = np.empty(2 * len(left), np.int32)
        _tie(np.ascontiguousarray(left), np.ascontiguousarray(right), start, other, link)
        return cls(start, other, link)

    def among(self, things: NDArray[np.integer]) -> Net:
        """The net of some things, each once, numbered in their order; links keep their numbers."""
        count = self.start[things + 1] - self.start[things]
        owner = np.repeat(np.arange(len(things), dtype=np.int32), count)
        first = self.start[things] - (np.cumsum(count) - count)
        entry = first[owner] + np.arange(len(owner))
        place = np.full(len(self.start) - 1, -1, np.int32)
        place[things] = np.arange(len(things), dtype=np.int32)
        other = place[self.other[entry]]
        inside = other >= 0
        held = np.bincount(owner[inside], minlength=len(things))
        start = np.concatenate(([0], np.cumsum(held))).astype(np.int32)
        return Net(start, other[inside], self.link[entry[inside]])


class Ways:
    """The shortest way from any of some things to every thing; more may be added.

    Parameters
    ----------
    net : the things and their links.
    cost : (links,) float64, > 0, of each link.

    Notes
    -----
    Holds exactly: the order in which things are added does not matter; of two equally near ones
    the lower number counts.

    References
    ----------
    Dijkstra (1959), "A note on two problems in connexion with graphs", Numerische Mathematik 1.
    """

    def __init__(self, net: Net, cost: Floats) -> None:
        count = len(net.start) - 1
        self._net, self._cost = net, cost[net.link]
        self.distance = np.full(count, np.inf)
        self.nearest = np.full(count, -1, np.int32)

    def add(
        self, things: NDArray[np.integer], behind: Floats | None = None, until: int = -1
    ) -> None:
        """Let ways begin at these, too; only what comes nearer is looked at.

        Parameters
        ----------
        things : (things,) int.
        behind : (things,) float64, >= 0, how long a way is where it begins; None is 0.
        until : a thing; then ways no shorter than the one to it may be missing. -1 finds all.
        """
        begun = np.zeros(len(things)) if behind is None else behind
        order = np.lexsort((things, begun))
        _shorten(
            self._net.start, self._net.other, self._cost, things[order].astype(np.int32),
            begun[order], self.distance, self.nearest, until,
        )  # fmt: skip

    def way(self, thing: int) -> Ints:
        """(things,) int32: the way from a thing to the nearest where ways begin, both included.

        Where none leads there, the thing alone.
        """
        found, end = [thing], int(self.nearest[thing])
        while end >= 0 and found[-1] != end:
            here = slice(self._net.start[found[-1]], self._net.start[found[-1] + 1])
            beside = self._net.other[here]
            total = np.where(self.nearest[beside] == end, self.distance[beside], np.inf)
            found.append(int(beside[np.lexsort((beside, total + self._cost[here]))[0]]))
        return np.array(found, np.int32)


@compiled
def _tie(left: Ints, right: Ints, start: Ints, other: Ints, link: Ints) -> None:
    """Fill in the entries of a net; start is zero before."""
    for i in range(len(left)):
        start[left[i]] += 1
        start[right[i]] += 1
    for thing in range(1, len(start)):
        start[thing] += start[thing - 1]
    # Filled from the end of each one's entries, which leaves start where they begin.
    for i in range(len(left) - 1, -1, -1):
        a, b = left[i], right[i]
        start[b] -= 1
        other[start[b]], link[start[b]] = a, i
        start[a] -= 1
        other[start[a]], link[start[a]] = b, i


@compiled
def _shorten(
    start: Ints,
    other: Ints,
    cost: Floats,
    begin: Ints,
    behind: Floats,
    distance: Floats,
    nearest: Ints,
    until: int,
) -> None:
    """Let ways begin at more things, the least behind first; update distances and beginnings.

    What waits stands in a binary heap, the nearest first; what was found nearer since is skipped.
    """
    far, thing = np.empty(len(begin) + 1024), np.empty(len(begin) + 1024, np.int32)
    held = 0
    for k in range(len(begin)):
        one, total = begin[k], behind[k]
        if distance[one] > total or (distance[one] == total and nearest[one] > one):
            distance[one], nearest[one] = total, one
            far[held], thing[held] = total, one
            held += 1
    while held:
        here, at = far[0], thing[0]
        held -= 1
        last_far, last = far[held], thing[held]
        place = 0
        while 2 * place + 1 < held:
            child = 2 * place + 1
            if child + 1 < held and far[child + 1] < far[child]:
                child += 1
            if far[child] >= last_far:
                break
            far[place], thing[place] = far[child], thing[child]
            place = child
        far[place], thing[place] = last_far, last
        if here > distance[at]:
            continue
        if at == until:
            break
        for entry in range(start[at], start[at + 1]):
            to = other[entry]
            total = here + cost[entry]
            if total > distance[to] or (total == distance[to] and nearest[to] <= nearest[at]):
                continue
            distance[to], nearest[to] = total, nearest[at]
            if held == len(far):
                more_far, more = np.empty(2 * held), np.empty(2 * held, np.int32)
                more_far[:held], more[:held] = far, thing
                far, thing = more_far, more
            place = held
            held += 1
            while place and far[(place - 1) // 2] > total:
                far[place], thing[place] = far[(place - 1) // 2], thing[(place - 1) // 2]
                place = (place - 1) // 2
            far[place], thing[place] = total, to
