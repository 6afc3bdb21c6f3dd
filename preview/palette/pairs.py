"""Every warm pot with every cold one: what the two make, and how far apart they are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.errors import CannotDo, Fault
from preview.mix.circle import NEUTRAL_CHROMA
from preview.mix.mixture import Mix
from preview.mix.neutral import Neutral, least_chroma, most_neutral_mix
from preview.mix.ratios import full_ratios
from preview.mix.recipes import constants_of, mix_mixes
from preview.mix.sets import lab_of_sets
from preview.optics.cie1976_lab import chroma_from_lab
from preview.optics.ciede2000 import ciede2000
from preview.optics.spectrum import Floats
from preview.palette.kinds import best_pale, is_brown
from preview.palette.standing import Standing, stand_on_circle
from preview.rack.paint import Rack

# Drops of warm and cold that a mixing chart shows, from one pot to the other.
CHART_DROPS = ((1, 0), (6, 1), (3, 1), (2, 1), (1, 1), (1, 2), (1, 3), (1, 6), (0, 1))

# Browns and greys are looked for among mixes that are easily counted out.
MOST_DROPS = 8
# The middle of what counts as brown, and how light a middle grey is (common practice, no source).
MIDDLE_BROWN = (35.0, 9.0, 17.0)
GREY_LIGHTNESS = (45.0, 65.0)


@dataclass(frozen=True, eq=False)
class Pair:
    """A warm and a cold pot.

    span : C* that the duller of the two loses on the way to the most neutral mix: large where
        both pots are colourful and yet make a grey.
    lightness_gap : L* of the warm one less that of the cold one.
    difference : CIEDE2000 between the pots.
    warmth_gap : how much warmer the warm one is, by Ou et al. 2004.
    neutral : the least chromatic mix of the two.
    mixes : the mixes of `CHART_DROPS`.
    lightened : each of them one to one with the off-white; nothing when the rack has none.
    brown : the mix of the two nearest to a middle brown; None when none is a brown.
    grey : the least chromatic mix of the two with the off-white that is a middle grey (L* 45 to
        65, C* below 8); None without off-white, or when no mix is a grey.
    """

    warm: Standing
    cold: Standing
    span: float
    lightness_gap: float
    difference: float
    warmth_gap: float
    neutral: Neutral
    mixes: tuple[Mix, ...]
    lightened: tuple[Mix, ...]
    brown: Mix | None
    grey: Mix | None

    @property
    def chroma(self) -> tuple[float, ...]:
        """C* that is left at each of `CHART_DROPS`."""
        return tuple(float(chroma_from_lab(mix.lab)) for mix in self.mixes)


@dataclass(frozen=True, eq=False)
class Pairs:
    """The pairs of a rack with the greatest span, the greatest first.

    count : how many pairs there are in all.
    pale : the off-white that lightens them; None when the rack has none.
    left_out : metallic paints, whose mixes nobody can predict from colour alone.
    """

    rack: Rack
    pairs: tuple[Pair, ...]
    count: int
    pale: Standing | None
    left_out: tuple[str, ...]


def find_pairs(rack: Rack, most: int) -> Pairs:
    """All pairs of a warm and a cold pot of a rack, the `most` with the greatest span told.

    Parameters
    ----------
    rack : the paints one owns; pale and neutral ones are neither warm nor cold here.
    most : pairs to tell, at least 1.

    Raises
    ------
    CannotDo : the rack has no warm pot, or no cold one.
    """
    standings = stand_on_circle(rack)
    hued = [one for one in standings if one.kind in ("colour", "brown")]
    pots = [one for one in hued if one.mixes_as_pigments]
    places = _warm_by_cold(pots, rack)
    span = _span(pots, places)
    chosen = np.argsort(-span, kind="stable")[:most]
    best = best_pale([one.mix.lab for one in standings])
    pale = None if best is None else standings[best]
    browns = _browns(pots, places[chosen])
    greys = _greys(pots, pale, places[chosen])
    pairs = [
        _pair(pots[warm], pots[cold], pale, float(span[k]), brown, grey)
        for k, (warm, cold), brown, grey in zip(chosen, places[chosen], browns, greys, strict=True)
    ]
    left_out = tuple(one.name for one in hued if not one.mixes_as_pigments)
    return Pairs(rack, tuple(pairs), len(places), pale, left_out)


def _warm_by_cold(pots: Sequence[Standing], rack: Rack) -> NDArray[np.int64]:
    """(pairs, 2) every warm pot with every cold one, by their places in `pots`."""
    side = np.array([one.place.side for one in pots], dtype=object)
    warm, cold = np.flatnonzero(side == "warm"), np.flatnonzero(side == "cold")
    faults = [
        Fault(f"the rack has no {name} paint, so it has no pairs", rack.where, f"add {looks}")
        for name, found, looks in (
            ("warm", warm, "a red, orange or yellow"),
            ("cold", cold, "a green, blue or violet"),
        )
        if not len(found)
    ]
    if faults:
        raise CannotDo.of(faults)
    return np.stack([np.repeat(warm, len(cold)), np.tile(cold, len(warm))], axis=1)


def _span(pots: Sequence[Standing], places: NDArray[np.int64]) -> Floats:
    """(pairs,) chroma that the duller pot loses on the way to the most neutral mix."""
    alone = np.array([one.place.chroma for one in pots])[places].min(axis=1)
    least = least_chroma(*constants_of([one.paint for one in pots]), places)
    return np.asarray(np.maximum(alone - least, 0.0))


def _browns(pots: Sequence[Standing], places: NDArray[np.int64]) -> list[tuple[int, ...] | None]:
    """For each pair the drops of the mix nearest to a middle brown; None where none is brown."""
    ratios = full_ratios(2, MOST_DROPS)
    lab = lab_of_sets(*constants_of([one.paint for one in pots]), places, ratios)
    away = np.where(is_brown(lab), ciede2000(lab, np.array(MIDDLE_BROWN)), np.inf)
    return _drops_of_least(away, ratios)


def _greys(
    pots: Sequence[Standing], pale: Standing | None, places: NDArray[np.int64]
) -> list[tuple[int, ...] | None]:
    """For each pair the drops, off-white last, of its least chromatic middle grey, if any."""
    if pale is None:
        return [None] * len(places)
    ratios = full_ratios(3, MOST_DROPS)
    threes = np.column_stack([places, np.full(len(places), len(pots))])
    paints = [*(one.paint for one in pots), pale.paint]
    lab = lab_of_sets(*constants_of(paints), threes, ratios)
    low, high = GREY_LIGHTNESS
    middle = (low <= lab[..., 0]) & (lab[..., 0] <= high)
    chroma = chroma_from_lab(lab)
    return _drops_of_least(np.where(middle & (chroma < NEUTRAL_CHROMA), chroma, np.inf), ratios)


def _drops_of_least(cost: Floats, ratios: NDArray[np.int64]) -> list[tuple[int, ...] | None]:
    """For each row the ratio that costs least; None where all are infinite."""
    best = np.argmin(cost, axis=1)
    return [
        tuple(int(n) for n in ratios[k]) if np.isfinite(row[k]) else None
        for row, k in zip(cost, best, strict=True)
    ]


def _pair(
    warm: Standing,
    cold: Standing,
    pale: Standing | None,
    span: float,
    brown: tuple[int, ...] | None,
    grey: tuple[int, ...] | None,
) -> Pair:
    """One pair with its mixes."""
    pots = [warm.mix, cold.mix, *([pale.mix] if pale else [])]
    mixes = tuple(_mixed(pots, drops) for drops in CHART_DROPS)
    return Pair(
        warm,
        cold,
        span,
        float(warm.mix.lab[0] - cold.mix.lab[0]),
        float(ciede2000(warm.mix.lab, cold.mix.lab)),
        warm.warmth - cold.warmth,
        most_neutral_mix(warm.mix, cold.mix),
        mixes,
        tuple(mix_mixes([(mix, 1), (pale.mix, 1)]) for mix in mixes) if pale else (),
        None if brown is None else _mixed(pots, brown),
        None if grey is None else _mixed(pots, grey),
    )


def _mixed(pots: Sequence[Mix], drops: Sequence[int]) -> Mix:
    """The mix of whole drops of the first pots, in order."""
    return mix_mixes([(pot, n) for pot, n in zip(pots, drops, strict=False) if n])
