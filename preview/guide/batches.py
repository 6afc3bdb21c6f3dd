"""How much to mix: every mix once, in whole multiples of its recipe, for all figures together."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from preview.guide.laid import Laid
from preview.ramp.ramp import Ramp, Step
from preview.ramp.scheme import Scheme
from preview.settings import DROP, FIGURES, FILM, SOLIDS, WASTE

# A recipe of which less than this share is needed is dabbed, not dropped; a choice of ours.
DAB_SHARE = 0.25

# A mix is the same wherever it is used: its paints and drops in lowest terms.
Key = tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class Habits:
    """What a painter's amounts rest on; every default is common practice without a source.

    figures : painted alike with the same batch.
    coats : of every opaque step; None for as many as hide the primer.
    film_um : dry thickness of one brushed coat, µm.
    solids : share of a drop that stays once it is dry, by volume, in (0, 1].
    drop_ml : volume of one drop, ml.
    waste : share of a mix that stays on brush and palette, in [0, 1).
    """

    figures: int = int(FIGURES.default)
    coats: int | None = None
    film_um: float = FILM.default
    solids: float = SOLIDS.default
    drop_ml: float = DROP.default
    waste: float = WASTE.default

    def drops_for(self, coat_mm2: float) -> float:
        """Drops out of the pots for so many mm² of coats on each figure, waste included."""
        dry_mm3 = coat_mm2 * self.figures * self.film_um / 1000.0
        wet_ml = dry_mm3 / 1000.0 / self.solids
        return wet_ml / (1.0 - self.waste) / self.drop_ml


@dataclass(frozen=True)
class Batch:
    """One mix as it is made.

    number : its place in the order of mixing, from 1.
    ramp, step : where it is first used, and what its recipe is taken from.
    uses : every (ramp, step) that takes it.
    recipe : paint -> whole drops, all from pots, in lowest terms.
    written : pot role or step of the ramp -> whole drops, as the scheme writes them.
    needed : drops for the figures.
    taken : whole drops that other mixes take from it.
    times : how many times its recipe is mixed.
    """

    number: int
    ramp: str
    step: str
    uses: tuple[tuple[str, str], ...]
    recipe: Mapping[str, int]
    written: Mapping[str, int]
    needed: float
    taken: int
    times: int

    @property
    def drops(self) -> int:
        """All that is mixed."""
        return self.times * sum(self.written.values())

    @property
    def left(self) -> float:
        """Drops that stay over; never below 0."""
        return self.drops - self.needed - self.taken

    @property
    def alone(self) -> bool:
        """Whether it is one pot as it stands."""
        return len(self.recipe) == 1

    @property
    def dabs(self) -> bool:
        """Whether so little of a mix is needed that nobody would count whole drops for it."""
        one = sum(self.written.values())
        return not self.alone and self.needed + self.taken < DAB_SHARE * one


@dataclass(frozen=True)
class PotUse:
    """What a pot gives.

    drops : whole drops for all batches.
    ml : the same as volume.
    stock_ml, left_ml : what the rack says is in it, and what stays; None when it says nothing.
    """

    role: str
    paint: str
    drops: int
    ml: float
    stock_ml: float | None
    left_ml: float | None


def key_of(recipe: Mapping[str, int]) -> Key:
    """What makes a mix the same as another: its paints and drops, in whichever order."""
    return tuple(sorted(recipe.items()))


def batches_of(
    laid: Iterable[Laid], ramps: Sequence[Ramp], scheme: Scheme, habits: Habits
) -> tuple[Batch, ...]:
    """Every mix that is needed, in the order of mixing.

    Ramp after ramp as given; within a ramp a mix stands after those it is made from, else the
    darker one first. Equal mixes of several ramps become one batch.

    Parameters
    ----------
    laid : what lies where, of one figure.
    ramps : in the order in which they are painted.

    Notes
    -----
    Holds exactly: a batch is a whole multiple of its recipe, and never less than is needed with
    what other mixes take from it.
    """
    needed: dict[Key, float] = {}
    by_name = {ramp.name: ramp for ramp in ramps}
    for row in laid:
        key = key_of(by_name[row.ramp].step(row.step).mix.recipe)
        needed[key] = needed.get(key, 0.0) + habits.drops_for(row.coat_mm2)

    # Take each mix's recipe from where it stands first.
    first: dict[Key, tuple[Ramp, Step]] = {}
    uses: dict[Key, list[tuple[str, str]]] = {}
    for ramp in ramps:
        for step in mixing_order(ramp):
            key = key_of(step.mix.recipe)
            first.setdefault(key, (ramp, step))
            uses.setdefault(key, []).append((ramp.name, step.name))

    # From the last to the first, so that what others take is known before a batch is sized.
    taken: dict[Key, int] = dict.fromkeys(first, 0)
    times: dict[Key, int] = {}
    for key in reversed(first):
        ramp, step = first[key]
        demand = needed.get(key, 0.0) + taken[key]
        times[key] = math.ceil(demand / sum(step.drops.values()))
        for word, count in step.drops.items():
            if word not in scheme.pots:
                taken[key_of(ramp.step(word).mix.recipe)] += times[key] * count

    made = [key for key in first if times[key]]
    return tuple(
        Batch(
            number,
            first[key][0].name,
            first[key][1].name,
            tuple(uses[key]),
            first[key][1].mix.recipe,
            first[key][1].drops,
            needed.get(key, 0.0),
            taken[key],
            times[key],
        )
        for number, key in enumerate(made, start=1)
    )


def mixing_order(ramp: Ramp) -> list[Step]:
    """A ramp's steps, each after those it is made from, else the darker one first.

    Common practice, no source: a mix on the palette is carried on while it is wet.
    """
    waiting = sorted(ramp.steps, key=lambda step: float(step.mix.lab[0]))
    order: list[Step] = []
    while waiting:
        blocked = {step.name for step in waiting}
        step = next(s for s in waiting if blocked.isdisjoint(s.drops))
        order.append(step)
        waiting.remove(step)
    return order


def pot_uses(batches: Iterable[Batch], scheme: Scheme, habits: Habits) -> tuple[PotUse, ...]:
    """What every pot of the scheme gives to the batches, in the order of the scheme."""
    drops = dict.fromkeys(scheme.pots, 0)
    for batch in batches:
        for role in drops:
            drops[role] += batch.times * batch.written.get(role, 0)
    rows = []
    for role, count in drops.items():
        ml, stock = count * habits.drop_ml, scheme.paint(role).stock_ml
        left = None if stock is None else stock - ml
        rows.append(PotUse(role, scheme.pots[role], count, ml, stock, left))
    return tuple(rows)
