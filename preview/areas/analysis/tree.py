"""Patches merged two by two, the least parted first, down to one: proposals at every level."""

from __future__ import annotations

import heapq
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]

_ALWAYS = 0.02
_NECK = 0.75
_SMALL = 0.35


@dataclass(frozen=True, eq=False)
class MergeTree:
    """Every proposal, from each patch alone to all in one.

    patches : how many leaves; leaf k is patch k, the m-th merge makes node patches + m.
    children : (patches - 1, 2) int32, the two nodes that a merge joins, the larger one first.
    area : (2 * patches - 1,) float64, mm² of each node.
    """

    patches: int
    children: Ints
    area: Floats

    def nodes(self, count: int) -> list[int]:
        """The nodes of the proposal with `count` regions; entry k is region k + 1.

        The first region is the whole; each further one splits off from one before it, which keeps
        its number. So a number names the same region in a finer proposal, or a smaller one inside.

        Parameters
        ----------
        count : at least 1; at most as many as there are patches count.
        """
        regions = [2 * self.patches - 2]
        for merge in range(self.patches - 2, self.patches - 1 - max(1, count), -1):
            if merge < 0:
                break
            larger, smaller = (int(node) for node in self.children[merge])
            regions[regions.index(self.patches + merge)] = larger
            regions.append(smaller)
        return regions

    def parts(self, node: int, count: int) -> list[int]:
        """The nodes that the region of a node falls into when split into `count`."""
        parts = [node]
        while len(parts) < count:
            last = max(parts)
            if last < self.patches:
                break
            larger, smaller = (int(child) for child in self.children[last - self.patches])
            parts[parts.index(last)] = larger
            parts.append(smaller)
        return parts

    def leaves(self, node: int) -> list[int]:
        """The patches under a node."""
        found, waiting = [], [node]
        while waiting:
            one = waiting.pop()
            if one < self.patches:
                found.append(one)
            else:
                waiting += self.children[one - self.patches].tolist()
        return sorted(found)


def merge_tree(area: Floats, left: Ints, right: Ints, length: Floats, crease: Floats) -> MergeTree:
    """Merge patches by average linkage until one is left.

    Two regions are kept apart by how creased their border is, by how narrow it is against the
    smaller of them, and by how large that one is.

    Parameters
    ----------
    area : (patches,) mm², > 0.
    left, right : (borders,) int, two patches that meet; the same pair may come often.
    length : (borders,) mm, > 0, how long they run side by side.
    crease : (borders,) unitless in [0, 1], 0 where the surface runs on without a crease.

    References
    ----------
    Ward (1963), "Hierarchical grouping to optimize an objective function", Journal of the American
    Statistical Association 58, for the scheme (from memory); the cost is our own.
    """
    return _Merging(area, left, right, length, crease).run()


class _Merging:
    """The growing tree and the borders between what is left.

    What is left goes by keys: of two that merge, the one with more neighbours keeps its key, so
    that only what changes costs time.
    """

    def __init__(
        self, area: Floats, left: Ints, right: Ints, length: Floats, crease: Floats
    ) -> None:
        self.patches = len(area)
        self.total = float(area.sum())
        self.area = [float(a) for a in area]
        self.node = list(range(self.patches))
        self.beside: list[dict[int, tuple[float, float]]] = [{} for _ in range(self.patches)]
        self.heap: list[tuple[float, int, int]] = []
        for a, b, long, creased in zip(
            left.tolist(), right.tolist(), length.tolist(), (length * crease).tolist(), strict=True
        ):
            if a != b:
                self._join(a, b, long, creased)
        for a in range(self.patches):
            for b in self.beside[a]:
                if a < b:
                    self._offer(a, b)

    def run(self) -> MergeTree:
        alive = set(range(self.patches))
        children: list[tuple[int, int]] = []
        areas = list(self.area)
        while len(alive) > 1:
            a, b = self._cheapest(alive)
            larger, smaller = (a, b) if self.area[a] >= self.area[b] else (b, a)
            children.append((self.node[larger], self.node[smaller]))
            kept, gone = (a, b) if len(self.beside[a]) >= len(self.beside[b]) else (b, a)
            self._merge(kept, gone)
            alive.discard(gone)
            self.node[kept] = self.patches + len(children) - 1
            areas.append(self.area[kept])
        return MergeTree(self.patches, np.array(children, np.int32).reshape(-1, 2), np.array(areas))

    def _cheapest(self, alive: set[int]) -> tuple[int, int]:
        """The two to merge next; the two smallest when nothing touches any more."""
        while self.heap:
            cost, a, b = heapq.heappop(self.heap)
            # An offer made before one of the two grew no longer holds.
            if a in alive and b in alive and b in self.beside[a] and cost == self._cost(a, b):
                return a, b
        small = sorted(alive, key=lambda k: (self.area[k], k))[:2]
        return small[0], small[1]

    def _merge(self, kept: int, gone: int) -> None:
        """Add one to the other."""
        before = self.area[kept]
        self.area[kept] += self.area[gone]
        changed = set()
        self.beside[kept].pop(gone, None)
        for other, (long, creased) in self.beside[gone].items():
            if other != kept:
                del self.beside[other][gone]
                self._join(kept, other, long, creased)
                changed.add(other)
        self.beside[gone] = {}
        for other in self.beside[kept]:
            if other in changed or self.area[other] > before:
                self._offer(kept, other)

    def _join(self, a: int, b: int, long: float, creased: float) -> None:
        """Add to the border between two."""
        before = self.beside[a].get(b, (0.0, 0.0))
        both = (before[0] + long, before[1] + creased)
        self.beside[a][b] = both
        self.beside[b][a] = both

    def _offer(self, a: int, b: int) -> None:
        """Put the merge of two on the heap."""
        heapq.heappush(self.heap, (self._cost(a, b), min(a, b), max(a, b)))

    def _cost(self, a: int, b: int) -> float:
        """How much keeps two apart."""
        long, creased = self.beside[a][b]
        small = min(self.area[a], self.area[b])
        return float(
            (creased / long + _ALWAYS)
            * (small**0.5 / long) ** _NECK
            * (small / self.total) ** _SMALL
        )
