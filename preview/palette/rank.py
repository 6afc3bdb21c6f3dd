"""Which four pots: every option of a rack, the best first, exactly.

What mixes of one, two and three pots reach is worked out once for all options that share them.
The mixes of all four pots of an option are worked out only while a bound on what they could reach
with any pale pot (`preview.palette.bounds`) leaves the option a place among the best.
"""

from __future__ import annotations

import heapq
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from preview.errors import CannotDo
from preview.optics.spectrum import Floats
from preview.palette.bounds import most_of_fours, most_with_any
from preview.palette.figures import DIGITS, Scale
from preview.palette.mixes import (
    Ints,
    Pots,
    lab_of_full_mixes,
    pair_place,
    pairs_of,
    triple_place,
)
from preview.palette.near import Found, Masks, Nearby, joined
from preview.palette.options import NONE, Options
from preview.progress import Progress, silent
from preview.shape.threads import chunks, in_threads

# Paints with a role beyond this would not fit into memory by threes.
MOST_PAINTS = 300
_SETS_AT_ONCE, _OPTIONS_AT_ONCE, _FOURS_AT_ONCE, _TRIED_AT_ONCE = 2048, 16384, 512, 2048
_TRIOS_AT_ONCE = 1024


@dataclass(frozen=True)
class Ranked:
    """One option with its figures.

    index : of the option among `Options`.
    score : as the scale gives it.
    figures : figure -> in [0, 1].
    """

    index: int
    score: float
    figures: Mapping[str, float]


@dataclass(frozen=True)
class Ranking:
    """The best options.

    best : the best first.
    options : how many there were.
    tried : how many of them were mixed in full.
    at_most : None when `best` is exact; else no option that was left out scores more than this.
    """

    best: tuple[Ranked, ...]
    options: int
    tried: int
    at_most: float | None


def rank_options(
    pots: Pots,
    options: Options,
    scale: Scale,
    count: int,
    *,
    differ: int = 1,
    seconds: float = np.inf,
    progress: Progress = silent,
) -> Ranking:
    """The best options, each differing from those before it.

    Parameters
    ----------
    pots : of `options.paints`.
    options : to rank.
    scale : what counts.
    count : how many, at least 1.
    differ : by how many pots each differs from every better one that is listed, 1 to 3.
    seconds : after which the search stops and tells what it may have missed; what all options
        share is worked out in any case.
    progress : hears of long steps.

    Raises
    ------
    CannotDo : more paints have a role than memory allows.
    """
    ends = time.monotonic() + seconds
    search = _Search(pots, options, scale, lambda: time.monotonic() >= ends, progress)
    best: list[Ranked] = []
    for row in search.in_order():
        held = _pots_of(options, row)
        if all(_new_pots(held, _pots_of(options, b.index)) >= differ for b in best):
            best.append(search.ranked(row))
        if len(best) == count:
            break
    progress("mixing fours", len(options.members), len(options.members))
    at_most = search.at_most
    if at_most is not None and len(best) == count and best[-1].score > at_most:
        at_most = None
    return Ranking(tuple(best), len(options.members), search.tried, at_most)


class _Search:
    """All options, each with a bound; scores are worked out as they are asked for."""

    def __init__(
        self,
        pots: Pots,
        options: Options,
        scale: Scale,
        out_of_time: Callable[[], bool],
        progress: Progress,
    ) -> None:
        if len(options.paints) > MOST_PAINTS:
            raise CannotDo(
                f"{len(options.paints)} paints of the rack have a role, at most {MOST_PAINTS} can "
                "be tried together",
                "the rack",
                "leave some out with --without, or narrow a role with --define",
            )
        self._pots, self._options, self._scale = pots, options, scale
        self._out_of_time, self._progress = out_of_time, progress
        self._few = _Few(pots, scale.nearby)
        self._tie_key = _tie_keys(options)
        self.tried = 0
        self.at_most: float | None = None

    def in_order(self) -> Iterator[int]:
        """The options from the best down; those of one score in the order of their names.

        When time is over, those that were tried; `at_most` then tells what the others may score.
        """
        rows = self._ready()
        least, most = self._bounds(rows)
        left = np.argsort(-most, kind="stable")
        waiting: list[tuple[float, int, int]] = []
        over = False
        while waiting or len(left):
            # Nothing that is left may come before the best of those waiting, ties included.
            while len(left) and not (waiting and -waiting[0][0] > most[left[0]]):
                if over:
                    self._leave(float(most[left[0]]))
                    left = left[:0]
                    break
                over = self.tried > 0 and self._out_of_time()
                # A high bound is a promise that few options keep: what is best without mixes of
                # four comes first, and once more when time is over.
                likely = over or not self.tried
                order = np.argsort(-least[left], kind="stable") if likely else np.arange(len(left))
                batch = rows[left[order[:_TRIED_AT_ONCE]]]
                left = left[np.sort(order[_TRIED_AT_ONCE:])]
                for score, row in zip(self._scores(batch), batch, strict=True):
                    heapq.heappush(waiting, (-float(score), int(self._tie_key[row]), int(row)))
            yield heapq.heappop(waiting)[2]

    def ranked(self, row: int) -> Ranked:
        """One option with its figures."""
        figures = self._figures(np.array([row]))
        score = float(np.round(self._scale.scores(figures), DIGITS)[0])
        return Ranked(row, score, {name: float(values[0]) for name, values in figures.items()})

    def _leave(self, bound: float) -> None:
        """Keep in mind that options with this bound were left out."""
        self.at_most = bound if self.at_most is None else max(bound, self.at_most)

    def _ready(self) -> NDArray[np.int64]:
        """The options whose mixes of three are worked out; all of them while there is time.

        Those that do best without mixes of three come first.
        """
        members = self._options.members
        first = [
            self._score(self._few.by_twos(members[part]), part)
            for part in chunks(len(members), _OPTIONS_AT_ONCE)
        ]
        order = np.argsort(-np.concatenate(first), kind="stable")
        parts = chunks(len(order), _OPTIONS_AT_ONCE)
        for done, part in enumerate(parts, start=1):
            self._few.mix_threes(members[order[part]])
            self._progress("mixing threes", done, len(parts))
            if self._out_of_time() and part.stop < len(order):
                self._leave(self._most_of(order[part.stop :]))
                return np.sort(order[: part.stop])
        return np.sort(order)

    def _most_of(self, rows: NDArray[np.int64]) -> float:
        """What the best of some options scores at most, whichever pale pot it has."""
        members = self._options.members[rows]
        sets, first, which = np.unique(
            np.where(members == NONE, members[:, :1], members)[:, [0, 1, 3]],
            axis=0,
            return_index=True,
            return_inverse=True,
        )
        known = self._options.known[rows[first]]
        owned = np.zeros(len(sets))
        np.maximum.at(owned, which, self._options.known.owned[rows])
        pale = np.unique(members[:, 2])
        found = most_with_any(self._pots, sets, pale, self._scale.nearby)
        figures = self._scale.figures(found, found.mask, replace(known, owned=owned))
        return float(np.round(self._scale.scores(figures), DIGITS).max())

    def _bounds(self, rows: NDArray[np.int64]) -> tuple[Floats, Floats]:
        """(rows,) twice: what each scores without mixes of four pots, and at most."""
        trios, which = self._trios(rows)
        pales = np.unique(self._options.members[:, 2])
        parts = chunks(len(trios), _TRIOS_AT_ONCE)
        most = []

        def work(part: slice) -> Found:
            return most_of_fours(self._pots, trios[part], pales, self._scale.nearby)

        for done, found in enumerate(in_threads(work, parts), start=1):
            most.append(found)
            self._progress("bounding fours", done, len(parts))
        fours = joined([*most, Found.nothing(1, self._scale.nearby.words)])

        def bounds(part: slice) -> tuple[Floats, Floats]:
            few, tied = self._few.by_threes(self._options.members[rows[part]])
            with_fours = fours[which[part]]
            most = (few | with_fours, tied | with_fours.mask)
            return self._score((few, tied), rows[part]), self._score(most, rows[part])

        both = list(in_threads(bounds, chunks(len(rows), _OPTIONS_AT_ONCE)))
        return np.concatenate([one[0] for one in both]), np.concatenate([one[1] for one in both])

    def _trios(self, rows: NDArray[np.int64]) -> tuple[Ints, NDArray[np.int64]]:
        """(trios, 3) what stands beside pale pots, and (rows,) which; -1 for options of three."""
        members = self._options.members[rows][:, [0, 1, 3]]
        four = members[:, 2] != NONE
        base = len(self._options.paints) ** np.arange(2, -1, -1)
        keys, own = np.unique(members[four] @ base, return_inverse=True)
        which = np.full(len(rows), -1)
        which[four] = own
        return (keys[:, None] // base % len(self._options.paints)).astype(np.int32), which

    def _scores(self, batch: NDArray[np.int64]) -> Floats:
        """The exact scores of some options."""
        parts = [batch[part] for part in chunks(len(batch), _FOURS_AT_ONCE)]
        self._progress("mixing fours", self.tried, len(self._options.members))
        found = list(in_threads(lambda rows: self._scale.scores(self._figures(rows)), parts))
        self.tried += len(batch)
        return np.asarray(np.round(np.concatenate(found), DIGITS), dtype=np.float64)

    def _figures(self, rows: NDArray[np.int64]) -> dict[str, Floats]:
        """The exact figures of some options."""
        members = self._options.members[rows]
        four = members[:, 3] != NONE
        few, tied = self._few.by_threes(members)
        made = lab_of_full_mixes(self._pots, members[four])
        fours = Found.nothing(len(members), self._scale.nearby.words)
        fours[four] = self._scale.nearby.found(made, but=tied[four])
        return self._scale.figures(few | fours, tied | fours.mask, self._options.known[rows])

    def _score(self, found: tuple[Found, Masks], rows: NDArray[np.int64] | slice) -> Floats:
        """The scores that some options would have for what is found."""
        figures = self._scale.figures(*found, self._options.known[rows])
        return np.asarray(np.round(self._scale.scores(figures), DIGITS), dtype=np.float64)


class _Few:
    """What mixes of one, two and three pots reach; the last row of each table stands for no pot.

    Mixes of three are worked out when they are asked for.
    """

    def __init__(self, pots: Pots, nearby: Nearby) -> None:
        paints = len(pots.absorption)
        pairs = pairs_of(paints)
        alone = nearby.found(lab_of_full_mixes(pots, np.arange(paints, dtype=np.int32)[:, None]))
        both = nearby.found(lab_of_full_mixes(pots, pairs))
        triples = paints * (paints - 1) * (paints - 2) // 6
        self._pots, self._nearby, self._paints = pots, nearby, paints
        self._pair = _ended(both | alone[pairs[:, 0]] | alone[pairs[:, 1]])
        self._tie = _ended(both).mask
        self._triple = Found.nothing(triples + 1, nearby.words)
        self._done = np.zeros(triples, dtype=bool)

    def mix_threes(self, members: Ints) -> None:
        """Work out the mixes of three that these options need."""
        needed = np.zeros(len(self._done), dtype=bool)
        three = members[:, 3] == NONE
        for some in (members[three, :3], members[~three]):
            for columns in combinations(range(some.shape[1]), 3):
                needed[triple_place(some[:, columns])] = True
        places = np.flatnonzero(needed & ~self._done)
        sets = _triples_at(places, self._paints)
        parts = chunks(len(places), _SETS_AT_ONCE)

        def work(part: slice) -> Found:
            return self._nearby.found(lab_of_full_mixes(self._pots, sets[part]))

        for part, found in zip(parts, in_threads(work, parts), strict=True):
            rows = places[part]
            self._triple[rows] = found
        self._done[places] = True

    def by_twos(self, members: Ints) -> tuple[Found, Masks]:
        """What options reach by mixes of up to two pots, and what of it holds warm and cold."""
        lacks = members[:, 3] == NONE
        whole = np.maximum(members, 0)
        both = pair_place(whole[:, :2])
        found, tied = self._pair[both], self._tie[both]
        for columns in ([0, 2], [1, 2], [0, 3], [1, 3], [2, 3]):
            gone = lacks & (3 in columns)
            found |= self._pair[np.where(gone, -1, pair_place(whole[:, columns]))]
        return found, tied

    def by_threes(self, members: Ints) -> tuple[Found, Masks]:
        """The same by mixes of up to three pots."""
        found, tied = self.by_twos(members)
        lacks = members[:, 3] == NONE
        whole = np.maximum(members, 0)
        for columns in ([0, 1, 2], [0, 1, 3], [0, 2, 3], [1, 2, 3]):
            gone = lacks & (3 in columns)
            place = np.where(gone, -1, triple_place(whole[:, columns]))
            found |= self._triple[place]
            if columns[:2] == [0, 1]:
                tied = tied | self._triple.mask[place]
        return found, tied


def names_of(options: Options, index: int) -> tuple[str, ...]:
    """The names of an option's paints: warm, cold, pale, and the fourth if there is one."""
    return tuple(options.paints[p].name for p in options.members[index] if p != NONE)


def _tie_keys(options: Options) -> NDArray[np.int64]:
    """(options,): rising in the order of the names of warm, cold, pale and fourth."""
    by_name = np.argsort(np.argsort([paint.name for paint in options.paints])) + 1
    rank = np.append(by_name, 0)[options.members].astype(np.int64)
    base = len(options.paints) + 1
    return np.asarray(rank @ base ** np.arange(3, -1, -1))


def _pots_of(options: Options, index: int) -> frozenset[int]:
    """The paints of an option."""
    return frozenset(options.members[index].tolist()) - {NONE}


def _new_pots(one: frozenset[int], other: frozenset[int]) -> int:
    """How many pots of two options are not in both."""
    return max(len(one - other), len(other - one))


def _ended(found: Found) -> Found:
    """The same with a row at its end for no pot."""
    return joined([found, Found.nothing(1, found.mask.shape[1])])


def _triples_at(places: NDArray[np.int64], paints: int) -> Ints:
    """(triples, 3): the members of the triples at some places, rising."""
    numbers = np.arange(paints, dtype=np.int64)
    of_pair, of_triple = numbers * (numbers - 1) // 2, numbers * (numbers - 1) * (numbers - 2) // 6
    k = np.searchsorted(of_triple, places, side="right") - 1
    rest = places - of_triple[k]
    j = np.searchsorted(of_pair, rest, side="right") - 1
    return np.stack([rest - of_pair[j], j, k], axis=1).astype(np.int32)
