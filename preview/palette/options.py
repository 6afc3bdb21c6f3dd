"""Every set of pots that the trade would take from a rack."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from preview.errors import CannotDo, Fault, UsageError, choices_fix
from preview.mix.circle import warmth
from preview.mix.neutral import COMPLEMENTARY_CHROMA, SWATCH_ERROR, least_chroma
from preview.palette.figures import FULL_CONTRAST, Known
from preview.palette.mixes import Ints, Pots
from preview.palette.roles import NEEDED, Candidate, Cast, PotRole
from preview.rack.paint import Rack

Fourth = Literal["none", "brown", "accent", "dark"]
FOURTHS: tuple[Fourth, ...] = ("none", "brown", "accent", "dark")
# An estimate up to this may be a neutral.
MAYBE_NEUTRAL = COMPLEMENTARY_CHROMA + SWATCH_ERROR
# An option of three pots holds this for the fourth.
NONE = -1


@dataclass(frozen=True, eq=False)
class Options:
    """Sets of pots: a warm, a cold and a pale one, and mostly a fourth.

    paints : those that have a role, in the order of the rack.
    members : (options, 4) int32 indices of paints: warm, cold, pale, and the fourth or NONE.
    fourth : (options,) int8, index into FOURTHS.
    neutral : (options,) least C* of the mixes of warm and cold.
    estimated : (options,) whether that is an estimate, for not both are calibrated.
    known : figures that need no mixing.
    """

    paints: tuple[Candidate, ...]
    members: Ints
    fourth: NDArray[np.int8]
    neutral: NDArray[np.float64]
    estimated: NDArray[np.bool_]
    known: Known


@dataclass(frozen=True)
class Pins:
    """What the painter insists on.

    wanted, unwanted : paints in, and out.
    missing : paints of the rack that one doesn't have yet, besides those with a stock of 0.
    """

    wanted: tuple[str, ...] = ()
    unwanted: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()


def without(rack: Rack, pins: Pins) -> Rack:
    """The rack without the paints that are not wanted.

    Raises
    ------
    UsageError : a name is not in the rack, or is both wanted and not; all of it at once.
    """
    faults = []
    named = (("--with", pins.wanted), ("--without", pins.unwanted), ("--missing", pins.missing))
    for option, names in named:
        for name in names:
            if name not in rack.paints:
                what = f'no paint "{name}" in the rack "{rack.name}"'
                near = choices_fix(name, rack.paints)
                faults.append(Fault(what, f"command line, {option}", near))
    for name in dict.fromkeys(pins.wanted):
        if name in pins.unwanted:
            what = f'"{name}" is wanted and not wanted'
            faults.append(Fault(what, "command line", "leave out --with or --without for it"))
    if faults:
        raise UsageError.of(faults)
    left = {name: paint for name, paint in rack.paints.items() if name not in pins.unwanted}
    return Rack(rack.name, left, rack.path, rack.title)


def options_of(rack: Rack, roles: Cast, pins: Pins) -> Options:
    """Every warm with every cold and every pale pot, and what may come fourth.

    Where warm and cold mix to a neutral the fourth place is free: it stays empty or takes an
    accent, which is less colourful than the pot of its own side. Else it takes a brown, or stays
    empty in a rack without one. Where an estimate leaves that open, not both being calibrated, it
    may be either. A dark pot may take it always, as a concession.

    Raises
    ------
    CannotDo : the pins leave no option.
    """
    _check_pins(rack, roles, pins)
    paints = [paint for group in roles.by_role.values() for paint in group]
    order = {name: place for place, name in enumerate(rack.paints)}
    paints.sort(key=lambda paint: order[paint.name])
    index = {paint.name: place for place, paint in enumerate(paints)}
    of = {role: [index[p.name] for p in group] for role, group in roles.by_role.items()}
    pairs = np.array(list(product(of["warm"], of["cold"])), dtype=np.int32)
    pots = Pots.of([rack.paints[paint.name] for paint in paints])
    chroma = least_chroma(pots.absorption, pots.scattering, pots.surface, pairs)

    # Lay out the options of each pair.
    members, fourth, neutral, estimated = [], [], [], []
    for (warm, cold), least in zip(pairs.tolist(), chroma, strict=True):
        estimate = not (paints[warm].mix.calibrated and paints[cold].mix.calibrated)
        most = MAYBE_NEUTRAL if estimate else COMPLEMENTARY_CHROMA
        beside = _fourths(paints, of, warm, cold, free=bool(least <= most), sure=not estimate)
        for kind, places in beside.items():
            pale = np.repeat(of["pale"], len(places))
            last = np.tile(places, len(of["pale"]))
            rows = np.stack(
                [np.full_like(pale, warm), np.full_like(pale, cold), pale, last], axis=1
            )
            members.append(rows.astype(np.int32))
            fourth.append(np.full(len(rows), FOURTHS.index(kind), dtype=np.int8))
            neutral.append(np.full(len(rows), least))
            estimated.append(np.full(len(rows), estimate))
    all_members = np.concatenate(members)
    kept = np.ones(len(all_members), dtype=bool)
    for name in pins.wanted:
        kept &= (all_members == index[name]).any(axis=1)
    if not kept.any():
        raise _unmet(pins)
    chosen = all_members[kept]
    kinds = np.concatenate(fourth)[kept]
    known = _known(rack, paints, chosen, kinds, pins.missing)
    return Options(
        tuple(paints),
        chosen,
        kinds,
        np.concatenate(neutral)[kept],
        np.concatenate(estimated)[kept],
        known,
    )


def _fourths(
    paints: Sequence[Candidate],
    of: Mapping[PotRole, Sequence[int]],
    warm: int,
    cold: int,
    *,
    free: bool,
    sure: bool,
) -> dict[Fourth, list[int]]:
    """What may come fourth beside a warm and a cold pot that leave the place free, or may do."""
    found: dict[Fourth, list[int]] = {"dark": list(of["dark"])}
    if free:
        found["none"] = [NONE]
        found["accent"] = [
            other
            for main, side in ((warm, of["warm"]), (cold, of["cold"]))
            for other in side
            if (paints[other].place.chroma, -other) < (paints[main].place.chroma, -main)
        ]
    if not (free and sure):
        found["brown"] = list(of["brown"])
    if not free and not of["brown"]:
        found["none"] = [NONE]
    return {kind: places for kind, places in found.items() if places}


def _known(
    rack: Rack,
    paints: Sequence[Candidate],
    members: Ints,
    fourth: NDArray[np.int8],
    missing: Collection[str],
) -> Known:
    """Contrast, what is owned, and whether there is a dark pot."""
    warm = np.array([float(warmth(paint.mix.lab)) for paint in paints])
    contrast = (warm[members[:, 0]] - warm[members[:, 1]]) / FULL_CONTRAST
    # The last stands for the pot that an option of three lacks.
    lacks = np.array([*(is_missing(rack, paint.name, missing) for paint in paints), False])
    pots = (members != NONE).sum(axis=1)
    return Known(
        np.clip(contrast, 0.0, 1.0),
        1.0 - lacks[members].sum(axis=1) / pots,
        (fourth == FOURTHS.index("dark")).astype(np.float64),
    )


def is_missing(rack: Rack, name: str, missing: Collection[str]) -> bool:
    """Whether one doesn't have a paint: named as missing, or none of it in stock."""
    return name in missing or rack.paints[name].stock_ml == 0.0


def _check_pins(rack: Rack, roles: Cast, pins: Pins) -> None:
    """Refuse wanted paints without a role, and two of one role; all at once."""
    faults = []
    first: dict[PotRole, str] = {}
    for name in dict.fromkeys(pins.wanted):
        role = roles.role_of(name)
        where = "command line, --with"
        if role is None:
            metal = rack.paints[name].finish == "metallic"
            why = "a metallic paint comes on top of the four" if metal else "change --define"
            faults.append(Fault(f'"{name}" has no role: none of the looks fits it', where, why))
        elif role in first:
            what = f'"{first[role]}" and "{name}" are both {role}: four pots hold one such'
            faults.append(Fault(what, where, "leave one of the two out"))
        else:
            first[role] = name
    fourths = [first[role] for role in first if role not in NEEDED]
    if len(fourths) > 1:
        what = f'"{fourths[0]}" and "{fourths[1]}" would share the fourth place'
        faults.append(Fault(what, "command line, --with", "leave one of the two out"))
    if faults:
        raise UsageError.of(faults)


def _unmet(pins: Pins) -> CannotDo:
    """What to say when no set holds all that is wanted."""
    names = ", ".join(f'"{name}"' for name in pins.wanted)
    return CannotDo(
        f"no set of four holds {names}",
        "command line, --with",
        "a brown stays out where calibrated pots mix to a neutral: want another brown, or no brown",
    )
