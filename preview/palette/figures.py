"""What the trade wants of a set of pots, each wish as a figure from 0 to 1, and their weights."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.errors import Fault, UsageError, choices_fix
from preview.optics.spectrum import Floats
from preview.palette.near import Found, Nearby, unpacked
from preview.palette.targets import Targets, brown_colours, grey_colours

# A warm and a cold pot this much apart in warmth (Ou et al. 2004) count in full, and borders whose
# areas can differ by this much in L* as separable. Both common practice, no source.
FULL_CONTRAST, VALUE_STEP = 2.5, 15.0
# How near counts: a fifth for each of these CIEDE2000 that a mix lies within.
NEAR = (2.0, 4.0, 6.0, 8.0, 10.0)
# Scores are told apart to this many digits; nearer ones are ordered by name.
DIGITS = 9


@dataclass(frozen=True)
class Wish:
    """One figure: its weight unless set otherwise, and what it counts."""

    weight: float
    says: str


# Common practice, no source: what is to be had of each is a matter of taste, so set it.
WISHES: Mapping[str, Wish] = {
    "reach": Wish(4.0, "share of the wanted colours that a mix comes within ΔE00 3 of"),
    "near": Wish(4.0, "how near mixes come to those colours: 1 within ΔE00 2, 0 beyond 10, mean"),
    "span": Wish(1.0, "L* from the darkest to the lightest mix, over 100"),
    "hues": Wish(1.0, "share of the twelve hues of the circle that a mix of C* 20 or more has"),
    "harmony": Wish(1.0, "share of the reached colours that hold both warm and cold in some mix"),
    "contrast": Wish(1.0, "warm against cold: difference of warmth, over 2.5"),
    "browns": Wish(1.0, "share of 16 browns within ΔE00 3"),
    "greys": Wish(1.0, "share of 6 greys within ΔE00 3"),
    "values": Wish(2.0, "share of borders, by length, whose two areas can differ by 15 in L*"),
    "owned": Wish(2.0, "share of the pots that one has"),
    "dark": Wish(1.0, "a concession: taken off for a dark pot"),
}


@dataclass(frozen=True, eq=False)
class Known:
    """What is known of options without mixing: one row per option.

    contrast, owned : (options,) in [0, 1].
    dark : (options,) 1 where a dark pot is among them, else 0.
    """

    contrast: Floats
    owned: Floats
    dark: Floats

    def __getitem__(self, rows: NDArray[np.int64] | slice) -> Known:
        """Some of the rows."""
        return Known(self.contrast[rows], self.owned[rows], self.dark[rows])


class Scale:
    """Turns what options reach into figures and scores.

    Parameters
    ----------
    targets : what is wanted.
    weights : figure -> weight; those that do not apply are left out.
    within : CIEDE2000 up to which a colour is reached.
    """

    def __init__(self, targets: Targets, weights: Mapping[str, float], within: float) -> None:
        parts = [targets.lab, *(group.lab for group in targets.groups)]
        wishes = targets.wishes
        levels = NEAR if "near" in weights else ()
        lists = [*parts, brown_colours(), grey_colours(), *(wishes for _ in levels)]
        sizes = [len(one) for one in lists]
        ends = np.cumsum([0, *sizes])
        kind = np.repeat(np.arange(len(lists)), sizes)
        far = [within] * (len(parts) + 2)
        self.nearby = Nearby(np.concatenate(lists), np.repeat([*far, *levels], sizes))
        self._lightness = self.nearby.lab[:, 0]
        self._groups = [slice(ends[k + 1], ends[k + 2]) for k in range(len(targets.groups))]
        self._borders = targets.borders
        wanted = np.zeros(len(kind), dtype=bool)
        wanted[: len(targets.lab)] = True
        if not len(targets.lab):
            for group, place in zip(targets.groups, self._groups, strict=True):
                wanted[place] = group.wanted
        self._wanted = self.nearby.mask_of(wanted)
        self._browns = self.nearby.mask_of(kind == len(parts))
        self._greys = self.nearby.mask_of(kind == len(parts) + 1)
        self._near = self.nearby.mask_of(kind > len(parts) + 1)
        self.weights = dict(weights)
        self.wanted = len(wishes)

    def figures(self, found: Found, tied: NDArray[np.uint64], known: Known) -> dict[str, Floats]:
        """Figure -> (options,) in [0, 1], those that have a weight, be it 0.

        Parameters
        ----------
        found : what each option reaches.
        tied : (options, words) colours reached by mixes that hold both warm and cold.
        known : what is known of the options.

        Notes
        -----
        Holds exactly: no figure falls when the same colours are added to `found` and `tied`, so
        bounds on what is reached are bounds on the figures.
        """
        reached = _count(found.mask & self._wanted)
        both = _count(found.mask & tied & self._wanted)
        span = np.maximum(found.high - found.low, 0.0) / 100.0
        made = {
            "reach": reached / self.wanted,
            "span": np.minimum(span, 1.0),
            "hues": np.bitwise_count(found.hues) / 12.0,
            "harmony": both / np.maximum(reached, 1.0),
            "contrast": known.contrast,
            "browns": _count(found.mask & self._browns) / _count(self._browns[None]),
            "greys": _count(found.mask & self._greys) / _count(self._greys[None]),
            "owned": known.owned,
            "dark": known.dark,
        }
        if "near" in self.weights:
            made["near"] = _count(found.mask & self._near) / (self.wanted * len(NEAR))
        if "values" in self.weights:
            made["values"] = self._separable(found)
        return {name: made[name] for name in self.weights}

    def scores(self, figures: Mapping[str, Floats]) -> Floats:
        """(options,): the weighted mean of the figures, less what a dark pot costs."""
        counted = {name: w for name, w in self.weights.items() if name != "dark"}
        whole = sum(counted.values())
        total = np.zeros(len(next(iter(figures.values()))))
        for name, weight in counted.items():
            total = total + weight / whole * figures[name]
        if "dark" in self.weights:
            total = total - self.dark_costs * figures["dark"]
        return np.asarray(total)

    @property
    def dark_costs(self) -> float:
        """What a dark pot takes off a score, where there are any."""
        counted = sum(weight for name, weight in self.weights.items() if name != "dark")
        return self.weights["dark"] / counted

    def _separable(self, found: Found) -> Floats:
        """Share of the borders whose areas can take values that differ."""
        near = unpacked(found.mask, len(self._lightness))
        low, high = [], []
        for place in self._groups:
            own, light = near[:, place], self._lightness[place]
            low.append(np.where(own, light, np.inf).min(axis=1))
            high.append(np.where(own, light, -np.inf).max(axis=1))
        parted = np.zeros(len(near))
        for one, other, length in self._borders:
            # Two infinities of one sign never meet here: a group that reaches nothing has low inf
            # and high -inf, so both differences are -inf.
            gap = np.maximum(high[one] - low[other], high[other] - low[one])
            parted += length * (gap >= VALUE_STEP)
        return np.asarray(parted / sum(length for _, _, length in self._borders))


def read_weights(words: Sequence[str]) -> dict[str, float]:
    """Every wish's weight, changed by words such as "reach=2".

    Raises
    ------
    UsageError : a wish is unknown, a weight is no number of 0 or more, or none is left; all of it
        at once.
    """
    weights = {name: wish.weight for name, wish in WISHES.items()}
    faults = []
    for word in words:
        name, _, value = (part.strip() for part in word.partition("="))
        where = f'command line, --weight "{word}"'
        if name not in WISHES:
            faults.append(Fault(f'there is no weight "{name}"', where, choices_fix(name, WISHES)))
            continue
        try:
            weights[name] = float(value)
        except ValueError:
            weights[name] = math.nan
        if not 0.0 <= weights[name] < math.inf:
            fix = f"write {name}=2, or {name}=0 to leave it out"
            faults.append(Fault(f'"{value}" is no weight of 0 or more', where, fix))
    if not faults and not any(weights[name] for name in WISHES if name != "dark"):
        what = "every weight is 0, so nothing tells the options apart"
        faults.append(Fault(what, "command line, --weight", f"weigh one of: {', '.join(WISHES)}"))
    if faults:
        raise UsageError.of(faults)
    return weights


def _count(mask: NDArray[np.uint64]) -> Floats:
    """(options,): how many bits are set."""
    return np.asarray(np.bitwise_count(mask).sum(axis=1), dtype=np.float64)
