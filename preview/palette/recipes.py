"""Recipes for a colour: the whole-drop mixes that come near it, short ones and near ones."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from preview.errors import CannotDo, Fault, UsageError
from preview.mix.mixture import Mix
from preview.mix.recipes import constants_of
from preview.optics.ciede2000 import ciede2000
from preview.palette.ranking import FAR, cielab_distance
from preview.palette.search import Nearest, Search, mixes_of
from preview.palette.thinned import Thinned, nearest_thinned
from preview.palette.wanted import Wanted
from preview.progress import Progress, silent
from preview.rack.paint import Rack
from preview.settings import DROPS

# Nearer than this is no difference: drops whose volumes vary by 20 %, each by itself, move a mix of
# a few pots by about as much (tests/palette/test_noise.py), and a step of one is just seen side by
# side.
SAME = 1.0
MOST_NAMED = 6
# Among so many pots, those that came nearest, longer mixes are looked for: a second at most.
AMONG_LONGER = 8
POTS_OF_RACK = 4
# Mixes that are looked at in all: a minute or two on one slow core.
MOST_MIXES = 20_000_000
MIXES_PER_SECOND = 250_000


@dataclass(frozen=True, eq=False)
class Recipe:
    """One way to the colour.

    mix : what comes of it; its recipe is all in drops of paint, in lowest terms.
    drops : what goes into the last mix: paint -> drops, the pre-thinned mix aside.
    rank : how it ranks for the colour wanted, see `preview.palette.ranking`.
    difference : from the colour wanted, CIEDE2000.
    distance : the same as CIE 1976 ΔE*ab.
    thinned : a mix to make before, and how many drops of it the last mix takes; None for most.
    """

    mix: Mix
    drops: dict[str, int]
    rank: float
    difference: float
    distance: float
    thinned: Thinned | None = None

    @property
    def total(self) -> int:
        """Drops to count out, those of the pre-thinned mix included."""
        before = 0 if self.thinned is None else self.thinned.taken + self.thinned.carriers + 1
        return sum(self.drops.values()) + before


@dataclass(frozen=True)
class SearchPlan:
    """What a search will look at.

    pots : paints that may be used, in the order of the rack.
    stages : pots in a mix -> how many such mixes are looked at.
    among : in how many paints the mixes of most pots are looked for; in all if affordable.
    of : mixes there are.
    """

    pots: tuple[str, ...]
    stages: dict[int, int]
    among: int
    of: int

    @property
    def looked_at(self) -> int:
        """Mixes to look at."""
        return sum(self.stages.values())

    @property
    def seconds(self) -> float:
        """About how long that takes on one slow core."""
        return self.looked_at / MIXES_PER_SECOND

    def __str__(self) -> str:
        pots, most = len(self.pots), max(self.stages)
        words = f"{self.looked_at:,} mixes of up to {most} of {pots} pots to look at"
        if self.seconds >= 2.0:
            words += f", some {self.seconds:.0f} seconds"
        if self.looked_at < self.of:
            words += (
                f"; {self.of - self.looked_at:,} mixes of {most} pots are left out, those with a "
                f"pot that is not among the {self.among} that came nearest in mixes of fewer"
            )
        return words


@dataclass(frozen=True, eq=False)
class Recipes:
    """The answers to a wanted colour.

    plan : what was looked at.
    answers : those that reach the colour, shortest first, each longer one nearer; where none
        does, the nearest by CIE 1976 ΔE*ab alone.
    most_drops : in one mix, as asked.
    longer : where no answer reaches the colour, the shortest mix of more drops that does; None
        where none was found.
    """

    wanted: Wanted
    plan: SearchPlan
    answers: tuple[Recipe, ...]
    most_drops: int
    longer: Recipe | None = None

    @property
    def told(self) -> tuple[Recipe, ...]:
        """All there is to show: the answers, then the longer one."""
        return self.answers if self.longer is None else (*self.answers, self.longer)

    @property
    def nearest(self) -> Recipe:
        """The nearest answer, and the shortest of those that cannot be told from it."""
        return self.answers[-1]

    @property
    def reached(self) -> bool:
        """Whether the nearest comes near enough to count."""
        return self.nearest.rank <= FAR


def find_recipes(
    rack: Rack,
    wanted: Wanted,
    pots: Sequence[str] = (),
    most_drops: int = int(DROPS.default),
    progress: Progress = silent,
) -> Recipes:
    """The whole-drop mixes nearest to a colour, by looking at every one.

    Parameters
    ----------
    rack : where the paints stand.
    wanted : the colour.
    pots : paints that may be used, at most MOST_NAMED, all of them in one mix if need be; empty
        for any up to four of the whole rack but its metallic paints, whose flakes mix otherwise.
    most_drops : drops in one mix at most.

    Returns
    -------
    Recipes: all within FAR, or where none is the nearest by CIE 1976 ΔE*ab alone, for CIEDE2000 is
    not meant for such distances (see `preview.palette.ranking`). In the list neither drops nor
    CIEDE2000 can be bettered without the other. A mix that is longer than another and nearer by
    less than SAME is left out, for so little is lost in the size of drops; so the last of the list
    may miss the very nearest by up to SAME. A pre-thinned mix is offered, too, where it
    gains clearly: it reaches the colour, is nearer than all others by SAME, and either none of
    those reaches it or they stay twice as far; of those within SAME of the nearest the shortest.
    Where nothing reaches the colour, the AMONG_LONGER pots that came nearest are tried with
    up to twice the drops (as many as DROPS allows), in every ratio.

    Raises
    ------
    UsageError : a pot is not in the rack or named twice, too many pots; all faults at once.
    CannotDo : the rack is so large that not even the mixes of one pot less can all be looked at.

    Notes
    -----
    Holds exactly: no mix that was looked at has both fewer drops and a smaller rank than an answer.
    Leaves out: how sure each mix is, see `Recipe.mix.certainty`.
    """
    plan = plan_search(rack, pots, most_drops)
    names = plan.pots
    search = Search(constants_of([rack.paints[name] for name in names]), wanted.lab, most_drops)
    for count in plan.stages:
        among = None
        if plan.among < len(names) and count == max(plan.stages):
            among = np.sort(np.argsort(search.nearest_with, kind="stable")[: plan.among])
        search.look(count, among, progress)
    plain = [_plain(rack, names, wanted, found) for found in search.best.values()]
    least = min(plain, key=lambda recipe: (recipe.rank, recipe.total))
    carriers = [n for n in names if n in least.drops or len(names) <= POTS_OF_RACK]
    most_pots = len(names) if pots else POTS_OF_RACK
    thinned = [
        _recipe(wanted, *parts)
        for parts in nearest_thinned(rack, names, carriers, wanted.lab, most_drops, most_pots)
        if _gains(parts[2], least.rank)
    ]
    front = _front([*plain, *_shortest_near(_front(thinned))])
    reaching = [recipe for recipe in _worth(front) if recipe.rank <= FAR]
    if reaching:
        return Recipes(wanted, plan, tuple(reaching), most_drops)
    longer = _longer(search, most_pots, progress)
    further = None if longer is None else _plain(rack, names, wanted, longer)
    return Recipes(wanted, plan, tuple(front[-1:]), most_drops, further)


def _gains(thinned: float, plain: float) -> bool:
    """Whether a pre-thinned mix of one rank is worth its trouble beside a plain one of another."""
    clearly = plain > FAR or 2.0 * thinned < plain
    return thinned <= FAR and thinned <= plain - SAME and clearly


def _longer(search: Search, most_pots: int, progress: Progress) -> Nearest | None:
    """The shortest mix of up to twice the drops that reaches the colour, of the nearest pots."""
    most = min(2 * search.most_drops, int(DROPS.high))
    among = np.sort(np.argsort(search.nearest_with, kind="stable")[:AMONG_LONGER])
    more = Search(search.constants, search.lab, most)
    for count in range(1, min(most_pots, len(among), most) + 1):
        more.look(count, among, progress)
    reaching = (found for found in more.best.values() if found.rank <= FAR)
    return min(reaching, key=lambda found: found.total, default=None)


def plan_search(
    rack: Rack, pots: Sequence[str] = (), most_drops: int = int(DROPS.default)
) -> SearchPlan:
    """What `find_recipes` will look at: every mix, or of the largest those of the best paints.

    Parameters and Raises as there.
    """
    DROPS.check(most_drops)
    names = _names(rack, pots)
    last = min(len(names) if pots else POTS_OF_RACK, len(names), most_drops)
    counts = {k: mixes_of(len(names), k, most_drops) for k in range(1, last + 1)}
    every = sum(counts.values())
    if every <= MOST_MIXES:
        return SearchPlan(names, counts, len(names), every)
    room = MOST_MIXES - (every - counts[last])
    among = last
    while mixes_of(among + 1, last, most_drops) <= room:
        among += 1
    if mixes_of(among, last, most_drops) > room:
        raise CannotDo(
            f"{every:,} mixes are too many to look at",
            rack.name,
            "name the pots that may be used with --pots, or allow fewer --drops",
        )
    return SearchPlan(names, {**counts, last: mixes_of(among, last, most_drops)}, among, every)


def _names(rack: Rack, pots: Sequence[str]) -> tuple[str, ...]:
    """The paints that may be used, in the order of the rack; all faults at once."""
    faults = [rack.lacks(name) for name in dict.fromkeys(pots) if name not in rack.paints]
    twice = [name for name in dict.fromkeys(pots) if list(pots).count(name) > 1]
    faults += [Fault(f'"{name}" is named twice', "command line, --pots") for name in twice]
    if len(set(pots)) > MOST_NAMED:
        faults.append(
            Fault(
                f"at most {MOST_NAMED} pots can be named, got {len(set(pots))}",
                "command line, --pots",
                f"leave --pots out to search the whole rack for the best {POTS_OF_RACK}",
            )
        )
    if faults:
        raise UsageError.of(faults)
    plain = [name for name, paint in rack.paints.items() if paint.finish != "metallic"]
    if not pots and not plain:
        raise CannotDo(
            "all paints are metallic, and mixes of metallic flakes are not predicted",
            rack.name,
            "add a paint without flakes, or name the pots with --pots",
        )
    return tuple(name for name in rack.paints if name in (pots or plain))


def _plain(rack: Rack, names: Sequence[str], wanted: Wanted, found: Nearest) -> Recipe:
    """A mix that the search found, by name."""
    drops = {names[p]: n for p, n in zip(found.paints, found.drops, strict=True)}
    return _recipe(wanted, rack.mix(drops), drops, found.rank)


def _recipe(
    wanted: Wanted, mix: Mix, drops: dict[str, int], rank: float, thinned: Thinned | None = None
) -> Recipe:
    """A mix with how far it is from the colour wanted."""
    difference = float(ciede2000(mix.lab, wanted.lab))
    return Recipe(
        mix, drops, rank, difference, float(cielab_distance(mix.lab, wanted.lab)), thinned
    )


def _front(recipes: Iterable[Recipe]) -> list[Recipe]:
    """Those that no other betters in drops and rank, shortest first."""
    kept: list[Recipe] = []
    for recipe in sorted(recipes, key=lambda r: (r.total, r.rank)):
        if not kept or recipe.rank < kept[-1].rank:
            kept.append(recipe)
    return kept


def _shortest_near(front: Sequence[Recipe]) -> list[Recipe]:
    """The shortest that misses the nearest of all by less than SAME; nothing of nothing."""
    return [recipe for recipe in front if recipe.rank < front[-1].rank + SAME][:1]


def _worth(front: Sequence[Recipe]) -> list[Recipe]:
    """Those worth their drops: nearer by SAME than the shorter ones, or the first to reach."""
    kept: list[Recipe] = []
    for recipe in front:
        gained = kept[-1].rank - recipe.rank if kept else np.inf
        if gained >= SAME or recipe.rank <= FAR < kept[-1].rank:
            kept.append(recipe)
    return kept
