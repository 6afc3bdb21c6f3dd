"""Every whole-drop mix of some paints, or of any few among many, held against one colour."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import combinations, islice

import numpy as np
from numpy.typing import NDArray

from preview.mix.ratios import full_ratios
from preview.mix.sets import lab_of_sets
from preview.optics.spectrum import Floats
from preview.palette.ranking import rank_of
from preview.progress import Progress, silent

Constants = tuple[Floats, Floats, Floats]
Indices = NDArray[np.int64]

# Mixes looked at in one go: small enough for the processor's cache.
_AT_ONCE = 4096


@dataclass(frozen=True)
class Nearest:
    """One mix: which paints, their drops, and how it ranks, see `preview.palette.ranking`."""

    paints: tuple[int, ...]
    drops: tuple[int, ...]
    rank: float

    @property
    def total(self) -> int:
        """Drops in all."""
        return sum(self.drops)


@dataclass(eq=False)
class Search:
    """The mixes of some paints, each of at most so many paints and drops, in lowest terms.

    constants : K, S and surface of the paints, as `preview.mix.recipes.constants_of` gives them.
    lab : (3,) the colour that is wanted.
    most_drops : drops in one mix at most.
    best : total of drops -> the nearest mix of exactly so many drops, among those looked at; of
        mixes equally near the one of fewer paints, then of those that come first.
    nearest_with : (paints,) for each paint the least rank of any mix that it is in.
    """

    constants: Constants
    lab: Floats
    most_drops: int
    best: dict[int, Nearest] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.nearest_with = np.full(self.paints, np.inf)

    @property
    def paints(self) -> int:
        """How many paints there are to choose from."""
        return len(self.constants[0])

    def look(self, pots: int, among: Indices | None = None, progress: Progress = silent) -> None:
        """Look at every mix of exactly so many paints out of all, or out of `among`."""
        ratios = full_ratios(pots, self.most_drops)
        chosen = np.arange(self.paints) if among is None else among
        done, total = 0, mixes_of(len(chosen), pots, self.most_drops)
        for sets in _sets(chosen, pots, max(1, _AT_ONCE // max(len(ratios), 1))):
            self._look(sets, ratios)
            done += len(sets) * len(ratios)
            progress(f"mixes of {pots} pot{'s' * (pots > 1)}", done, total)

    def _look(self, sets: Indices, ratios: Indices) -> None:
        """Hold (sets, pots) paints in (ratios, pots) drops against the colour."""
        far = rank_of(lab_of_sets(*self.constants, sets, ratios), self.lab)
        np.minimum.at(self.nearest_with, sets, far.min(axis=1, keepdims=True))
        totals = ratios.sum(axis=1)
        for total in np.unique(totals):
            rows = np.flatnonzero(totals == total)
            place, row = divmod(int(np.argmin(far[:, rows])), len(rows))
            rank = float(far[place, rows[row]])
            if int(total) not in self.best or rank < self.best[int(total)].rank:
                self.best[int(total)] = Nearest(
                    tuple(int(p) for p in sets[place]),
                    tuple(int(d) for d in ratios[rows[row]]),
                    rank,
                )


def mixes_of(paints: int, pots: int, most_drops: int) -> int:
    """How many mixes hold exactly so many paints out of all."""
    return math.comb(paints, pots) * len(full_ratios(pots, most_drops))


def _sets(chosen: Indices, pots: int, at_once: int) -> Iterator[Indices]:
    """(sets, pots) every choice of so many paints, in blocks."""
    every = combinations(chosen.tolist(), pots)
    while block := list(islice(every, at_once)):
        yield np.array(block, dtype=np.int64)
