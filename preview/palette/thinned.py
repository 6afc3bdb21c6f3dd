"""Pre-thinned mixes: a strong paint let down in another one, for when one drop is too much."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from preview.mix.mixture import Mix
from preview.mix.ratios import distinct_ratios
from preview.mix.recipes import constants_of_mixes, mix_mixes
from preview.mix.sets import lab_of_sets
from preview.optics.spectrum import Floats
from preview.palette.kinds import kind_of
from preview.palette.ranking import rank_of
from preview.rack.paint import Rack

# Drops of the other paint to one of the strong one; common practice, no source.
CARRIERS = (4, 9, 19)
# Drops of the last mix at most, for the first has many already.
MOST_LAST = 8


@dataclass(frozen=True)
class Thinned:
    """One drop of a strong paint in several of another, mixed before.

    strong, carrier : the two paints.
    carriers : drops of the carrier to one drop of the strong paint.
    taken : drops of this mix that go into the last mix.
    """

    strong: str
    carrier: str
    carriers: int
    taken: int


def nearest_thinned(
    rack: Rack,
    names: Sequence[str],
    carriers: Sequence[str],
    lab: Floats,
    most_drops: int,
    most_pots: int,
) -> Iterator[tuple[Mix, dict[str, int], float, Thinned]]:
    """The nearest mix of every total of drops that takes a pre-thinned mix as one of its pots.

    Only mixes that want less than one drop of the strong paint in `most_drops` are looked at: all
    others need no mixing before. A paint is let down in a lighter one only, which absorbs less: in
    a pale one, or in the one that the whole mix holds most of.

    Parameters
    ----------
    names : the paints that may be let down.
    carriers : the paints that they may be let down in, and that may stand beside them.
    lab : (3,) the colour wanted.
    most_drops : of a mix without a pre-thinned one; the last mix has at most MOST_LAST.
    most_pots : paints in both steps together.

    Yields
    ------
    The mix, the drops beside the pre-thinned one, how it ranks, what to mix before.
    """
    best: dict[int, tuple[float, dict[str, int], Thinned]] = {}
    looks = {name: rack.mix({name: 1}).lab for name in {*names, *carriers}}
    for strong in names:
        beside = [name for name in carriers if name != strong]
        ratios = distinct_ratios(len(beside) + 1, min(most_drops, MOST_LAST))
        for place, carrier in enumerate(beside):
            if looks[carrier][0] <= looks[strong][0]:
                continue
            others = np.delete(ratios[:, :-1], place, axis=1)
            few = np.count_nonzero(others, axis=1) + 2 <= most_pots
            for count in CARRIERS:
                taken, totals = ratios[:, -1], ratios.sum(axis=1)
                weak = taken * most_drops < totals * (count + 1)
                carried = ratios[:, place] + taken * count / (count + 1)
                fits = kind_of(looks[carrier]) == "pale" or carried >= others.max(axis=1, initial=0)
                rows = ratios[(taken > 0) & (taken < totals) & weak & few & fits]
                far = _ranks(rack, beside, strong, carrier, count, rows, lab)
                totals = rows.sum(axis=1) + count + 1
                for total in np.unique(totals):
                    here = np.flatnonzero(totals == total)
                    row = int(here[np.argmin(far[here])])
                    if int(total) not in best or far[row] < best[int(total)][0]:
                        counts = zip(beside, rows[row].tolist(), strict=False)
                        drops = {name: n for name, n in counts if n}
                        thinned = Thinned(strong, carrier, count, int(rows[row, -1]))
                        best[int(total)] = (float(far[row]), drops, thinned)
    for rank, drops, thinned in best.values():
        yield mixed(rack, drops, thinned), drops, rank, thinned


def mixed(rack: Rack, drops: dict[str, int], thinned: Thinned) -> Mix:
    """The mix of both steps."""
    before = pre_thinned(rack, thinned)
    parts = [(rack.mix({name: 1}), count) for name, count in drops.items()]
    return mix_mixes([*parts, (before, thinned.taken)])


def pre_thinned(rack: Rack, thinned: Thinned) -> Mix:
    """The mix of the first step."""
    return rack.mix({thinned.strong: 1, thinned.carrier: thinned.carriers})


def _ranks(
    rack: Rack,
    beside: Sequence[str],
    strong: str,
    carrier: str,
    count: int,
    rows: np.ndarray[tuple[int, ...], np.dtype[np.int64]],
    lab: Floats,
) -> Floats:
    """(rows,) how (rows, beside + 1) drops rank, the pre-thinned mix last."""
    pots = [rack.mix({name: 1}) for name in beside]
    pots.append(rack.mix({strong: 1, carrier: count}))
    made = lab_of_sets(*constants_of_mixes(pots), [range(len(pots))], rows)[0]
    return rank_of(made, lab)
