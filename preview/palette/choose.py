"""Which four: the best sets of pots of a rack, with every figure behind their order."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from preview.errors import UsageError
from preview.mix.neutral import COMPLEMENTARY_CHROMA, SWATCH_ERROR
from preview.mix.undertone import hides_undertone, undertones_unknown
from preview.palette.figures import WISHES, Scale
from preview.palette.mixes import Pots
from preview.palette.options import (
    FOURTHS,
    MAYBE_NEUTRAL,
    Options,
    Pins,
    is_missing,
    options_of,
    without,
)
from preview.palette.rank import Ranked, names_of, rank_options
from preview.palette.roles import LOOKS, Look, PotRole, cast_roles
from preview.palette.targets import WITHIN, Targets, by_rule
from preview.progress import Progress, silent
from preview.rack.paint import Certainty, Rack
from preview.settings import COUNT, DIFFER

# Scores nearer than this are alike where strengths are estimates. With those of the demo crew's
# paints drawn anew (half or double, one standard deviation) two sets so far apart changed places
# in a fifth of the draws.
ALIKE = 0.03


@dataclass(frozen=True)
class Ask:
    """What is asked of the best options.

    pins : paints wanted in or out, and those that one doesn't have.
    looks : what each role looks like.
    weights : figure -> weight, of every one of `WISHES`.
    targets : what the pots should be able to mix.
    count : how many options, at least 1.
    differ : by how many pots each differs from every better one, 1 to 3.
    seconds : after which the search stops.
    """

    pins: Pins = field(default_factory=Pins)
    looks: Mapping[PotRole, Look] = field(default_factory=lambda: LOOKS)
    weights: Mapping[str, float] = field(
        default_factory=lambda: {name: wish.weight for name, wish in WISHES.items()}
    )
    targets: Targets = field(default_factory=by_rule)
    count: int = int(COUNT.default)
    differ: int = int(DIFFER.default)
    seconds: float = np.inf


@dataclass(frozen=True)
class Option:
    """One set of pots.

    pots : role -> paint: warm, cold, pale, and brown, accent or dark unless the place is empty.
    score : weighted mean of the figures, less what a dark pot costs.
    figures : figure -> in [0, 1].
    missing : paints among them that one doesn't have.
    notes : what is to be said of it, in sentences.
    certainty : of the figures, that of a mix of all its pots.
    """

    pots: Mapping[str, str]
    score: float
    figures: Mapping[str, float]
    missing: tuple[str, ...]
    notes: tuple[str, ...]
    certainty: Certainty


@dataclass(frozen=True)
class Choice:
    """The best options of a rack.

    best : the best first.
    weights : of the figures that apply here; a figure that is the same for all is left out.
    source : what reach counts, in words.
    wanted : how many colours that are.
    options : how many there were.
    tried : how many of them were mixed in full.
    at_most : None when `best` is exact; else no option that was left out scores more than this.
    """

    best: tuple[Option, ...]
    weights: Mapping[str, float]
    source: str
    wanted: int
    options: int
    tried: int
    at_most: float | None


def choose(rack: Rack, ask: Ask | None = None, progress: Progress = silent) -> Choice:
    """The best sets of four pots of a rack, or of three where warm and cold mix to a neutral.

    Parameters
    ----------
    rack : the paints one owns or thinks of buying.
    ask : what counts; all by default when left out.
    progress : hears of long steps.

    Raises
    ------
    UsageError : a name is unknown, or names contradict each other; all of it at once.
    CannotDo : the rack has no paint for a role, or no option holds all that is wanted.

    Examples
    --------
    >>> from preview.rack.load import load_rack
    >>> choose(load_rack("harbour"), Ask(count=1)).best[0].pots["pale"]
    'sailcloth'
    """
    ask = ask or Ask()
    left = without(rack, ask.pins)
    roles = cast_roles(left, ask.looks)
    options = options_of(left, roles, ask.pins)
    scale = Scale(ask.targets, _applying(ask, options), WITHIN)
    ranking = rank_options(
        Pots.of([left.paints[paint.name] for paint in options.paints]),
        options,
        scale,
        ask.count,
        differ=ask.differ,
        seconds=ask.seconds,
        progress=progress,
    )
    return Choice(
        tuple(_option(left, options, one, ask, scale) for one in ranking.best),
        scale.weights,
        ask.targets.source,
        scale.wanted,
        ranking.options,
        ranking.tried,
        ranking.at_most,
    )


def _applying(ask: Ask, options: Options) -> dict[str, float]:
    """The weights of the figures that can tell these options apart."""
    useless = {
        # Colours by rule lie all around: all pots come about as near to them.
        "near": ask.targets is by_rule(),
        "values": not ask.targets.borders,
        "owned": bool(np.all(options.known.owned == 1.0)),
        "dark": not options.known.dark.any(),
    }
    left = {name: w for name, w in ask.weights.items() if not useless.get(name, False)}
    if not any(weight for name, weight in left.items() if name != "dark"):
        raise UsageError(
            "no figure with a weight tells these options apart",
            "command line, --weight",
            f"weigh one of: {', '.join(name for name in left if name != 'dark')}",
        )
    return left


def _option(rack: Rack, options: Options, one: Ranked, ask: Ask, scale: Scale) -> Option:
    """One option, with what is to be said of it."""
    kind = FOURTHS[options.fourth[one.index]]
    names = names_of(options, one.index)
    missing = tuple(name for name in names if is_missing(rack, name, ask.pins.missing))
    notes = []
    if kind in ("none", "accent"):
        notes.append(_why_no_brown(options, one.index))
    if (
        kind == "brown"
        and options.estimated[one.index]
        and options.neutral[one.index] <= MAYBE_NEUTRAL
    ):
        notes.append(f"a brown, but it may do without: {_estimate(options, one.index)}")
    if kind == "dark":
        notes.append(
            f"a dark pot is a concession and costs {scale.dark_costs:.3f}: try shadows mixed from "
            "warm and cold first"
        )
    if hidden := [name for name in names if _undertone_unknown(rack, options, name)]:
        notes.append(undertones_unknown(hidden))
    if missing:
        notes.append(f"to buy: {', '.join(missing)}")
    return Option(
        dict(zip(("warm", "cold", "pale", kind), names, strict=False)),
        one.score,
        one.figures,
        missing,
        tuple(notes),
        rack.mix(dict.fromkeys(names, 1)).certainty,
    )


def _undertone_unknown(rack: Rack, options: Options, name: str) -> bool:
    """Whether a pot is dark, not calibrated, and stands for a colour."""
    by_tint = any(paint.name == name and paint.tint is not None for paint in options.paints)
    paint = rack.paints[name]
    return hides_undertone(paint) or (by_tint and not paint.calibrated)


def _why_no_brown(options: Options, index: int) -> str:
    """Why an option does without a brown."""
    chroma = options.neutral[index]
    freed = (
        "an accent takes its place"
        if FOURTHS[options.fourth[index]] == "accent"
        else "three pots do"
    )
    if options.estimated[index] and chroma <= MAYBE_NEUTRAL:
        return f"no brown, {freed}: {_estimate(options, index)}"
    if chroma > COMPLEMENTARY_CHROMA:
        return f"no brown: the rack has none, and warm and cold mix down to C* {chroma:.1f} only"
    return f"no brown: warm and cold mix down to C* {chroma:.1f}, so {freed}"


def _estimate(options: Options, index: int) -> str:
    """How neutral warm and cold mix, where that is not sure."""
    chroma = options.neutral[index]
    return f"warm and cold mix down to C* {chroma:.1f}, an estimate, {SWATCH_ERROR:.0f} either way"
