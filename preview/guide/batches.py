"""How much to mix: every mix once, in whole recipes or in dabs, for all figures together."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from preview.guide.laid import Laid
from preview.ramp.ramp import Ramp, Step
from preview.ramp.scheme import Scheme
from preview.settings import DROP, FIGURES, FILM, SOLIDS, WASTE

# A recipe of which less than this share is needed is dabbed, not dropped; a choice of ours.
DAB_SHARE = 0.25
# But a base coat straight from the pots is mixed whole, if its recipe has no more drops than this;
# a choice of ours.
WHOLE_DROPS = 8
# Shares of a recipe that sums of floats may be off by.
_ROUNDING = 1e-9

# A mix is the same wherever it is used: its paints and drops in lowest terms.
Key = tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class Habits:
    """What a painter's amounts rest on; every default is common practice without a source.

    figures : painted alike with the same batch.
    coats : of every opaque step; None for as many as hide, of the base coat at least two.
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
    written : pot role or step of the ramp -> drops of one recipe, in lowest terms.
    needed : drops for the figures.
    taken : drops that other mixes take from it.
    times : how many times its recipe is mixed: whole, or a part of one that is dabbed.
    dabs : whether so little of a mix is needed that nobody would count whole drops for it; base
        coats straight from the pots are mixed whole, but for long recipes.
    """

    number: int
    ramp: str
    step: str
    uses: tuple[tuple[str, str], ...]
    recipe: Mapping[str, int]
    written: Mapping[str, int]
    needed: float
    taken: float
    times: float
    dabs: bool

    @property
    def drops(self) -> float:
        """All that is mixed; whole unless it is dabbed."""
        return self.times * sum(self.written.values())

    @property
    def left(self) -> float:
        """Drops that stay over; never below 0."""
        return max(0.0, self.drops - self.needed - self.taken)

    @property
    def alone(self) -> bool:
        """Whether it is one pot as it stands."""
        return len(self.recipe) == 1


@dataclass(frozen=True)
class PotUse:
    """What a pot gives.

    drops : for all batches; whole but for what is dabbed.
    ml : the same as volume.
    stock_ml, left_ml : what the rack says is in it, and what stays; None when it says nothing.
    """

    role: str
    paint: str
    drops: float
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
    Holds exactly: a batch is a whole multiple of its recipe, or what is needed where that is
    dabbed, and never less than is needed with what other mixes take from it. A dab takes only a
    dab of the mixes and pots that it is made from.
    """
    needed: dict[Key, float] = {}
    base_coats: set[Key] = set()
    by_name = {ramp.name: ramp for ramp in ramps}
    for row in laid:
        key = key_of(by_name[row.ramp].step(row.step).mix.recipe)
        needed[key] = needed.get(key, 0.0) + habits.drops_for(row.coat_mm2)
        if row.first:
            base_coats.add(key)

    # Take each mix's recipe from where it stands first.
    first: dict[Key, tuple[Ramp, Step]] = {}
    uses: dict[Key, list[tuple[str, str]]] = {}
    for ramp in ramps:
        for step in mixing_order(ramp):
            key = key_of(step.mix.recipe)
            first.setdefault(key, (ramp, step))
            uses.setdefault(key, []).append((ramp.name, step.name))

    # From the last to the first, so that what others take is known before a batch is sized.
    taken = dict.fromkeys(first, 0.0)
    made: list[Batch] = []
    for key in reversed(first):
        ramp, step = first[key]
        written = _lowest_terms(step.drops)
        demand = needed.get(key, 0.0) + taken[key]
        if not demand:
            continue
        recipe = sum(written.values())
        recipes = demand / recipe
        from_pots = all(word in scheme.pots for word in written)
        whole = key in base_coats and from_pots and recipe <= WHOLE_DROPS
        dabs = len(key) > 1 and recipes < DAB_SHARE and not whole
        times = recipes if dabs else math.ceil(recipes - _ROUNDING)
        for word, count in written.items():
            if word not in scheme.pots:
                taken[key_of(ramp.step(word).mix.recipe)] += times * count
        made.append(
            Batch(
                number=0,
                ramp=ramp.name,
                step=step.name,
                uses=tuple(uses[key]),
                recipe=step.mix.recipe,
                written=written,
                needed=needed.get(key, 0.0),
                taken=taken[key],
                times=times,
                dabs=dabs,
            )
        )
    return tuple(replace(batch, number=n) for n, batch in enumerate(reversed(made), start=1))


def _lowest_terms(drops: Mapping[str, int]) -> dict[str, int]:
    """The same parts in the fewest whole drops."""
    shared = math.gcd(*drops.values())
    return {word: count // shared for word, count in drops.items()}


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


def pot_uses(batches: Sequence[Batch], scheme: Scheme, habits: Habits) -> tuple[PotUse, ...]:
    """What every pot of the scheme gives to the batches, in the order of the scheme."""
    rows = []
    for role, paint in scheme.pots.items():
        drops = sum(batch.times * batch.written.get(role, 0) for batch in batches)
        ml, stock = drops * habits.drop_ml, scheme.paint(role).stock_ml
        rows.append(PotUse(role, paint, drops, ml, stock, None if stock is None else stock - ml))
    return tuple(rows)
