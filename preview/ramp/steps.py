"""The steps of one ramp as they stand in the file: drops, glazes, what they build on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import cast

from preview.errors import choices_fix
from preview.ramp.reading import (
    Place,
    check_keys,
    is_whole,
    read_choice,
    read_number,
    read_table,
    shown,
)
from preview.ramp.words import (
    GLAZE,
    HIGHLIGHT_NAMES,
    MOST_HIGHLIGHTS,
    OVER,
    PRIMER,
    ROLES,
    STEP_KEYS,
    highlight_name,
)
from preview.settings import STEPS

MOST_DROPS = 99
MOST_COATS = 20.0
RULE_KEYS = ("midtone", "steps")


@dataclass(frozen=True)
class StepDraft:
    """One step before it is mixed.

    drops : pot role or step name -> whole drops.
    coats, over : the glaze's thickness and ground; None where it is opaque or not said.
    """

    name: str
    place: Place
    drops: Mapping[str, int]
    coats: float | None = None
    over: str | None = None


@dataclass(frozen=True)
class RuleDraft:
    """What a ramp by rule begins with: its mid-tone and how many steps it is to have."""

    place: Place
    midtone: StepDraft
    steps: int


def read_rule(place: Place, value: object, pots: frozenset[str]) -> RuleDraft:
    """The table of a ramp by rule; faults are kept at their places."""
    table, at = read_table(place, value), place.at("midtone")
    check_keys(place, table, RULE_KEYS)
    if isinstance(value, dict) and "midtone" not in table:
        place.fault("a ramp by rule needs its midtone", "add midtone = { warm = 2, cold = 1 }")
    midtone = StepDraft("midtone", at, {})
    if "midtone" in table:
        midtone = _read_step("midtone", at, table["midtone"], pots, ())
    if midtone.coats is not None:
        at.at(GLAZE).fault("the mid-tone of a ramp by rule is opaque", "leave glaze out")
    steps = table.get("steps", int(STEPS.default))
    if not is_whole(steps) or not STEPS.low <= cast(int, steps) <= STEPS.high:
        place.at("steps").fault(
            f"a ramp by rule has {STEPS.low:g} to {STEPS.high:g} steps, got {shown(steps)}",
            f"leave steps out for {STEPS.default:g}",
        )
        steps = int(STEPS.default)
    return RuleDraft(place, midtone, cast(int, steps))


def read_steps(
    place: Place, table: Mapping[str, object], pots: frozenset[str]
) -> tuple[StepDraft, ...]:
    """The steps of a ramp's table, from the darkest; faults are kept at their places."""
    entries = list(_entries(place, table))
    names = tuple(name for name, _, _ in entries)
    if "midtone" not in table:
        place.fault("the ramp has no midtone", "add midtone = { ... }; every area needs one")
    drafts = tuple(_read_step(name, at, value, pots, names) for name, at, value in entries)
    _fault_circles(drafts)
    return drafts


def _entries(place: Place, table: Mapping[str, object]) -> Iterator[tuple[str, Place, object]]:
    """Name, place and value of each step, a list of highlights taken apart."""
    for key in STEP_KEYS:
        if key not in table:
            continue
        value, at = table[key], place.at(key)
        if key != "highlight" or not isinstance(value, list):
            yield key, at, value
        elif not 1 <= len(value) <= MOST_HIGHLIGHTS:
            at.fault(
                f"a list of highlights has 1 to {MOST_HIGHLIGHTS} steps, got {len(value)}",
                "leave highlight out for a ramp without one",
            )
        else:
            for number, entry in enumerate(value, start=1):
                yield highlight_name(number), at.entry(number), entry


def _read_step(
    name: str, place: Place, value: object, pots: frozenset[str], names: tuple[str, ...]
) -> StepDraft:
    """One step's table, each key looked at."""
    table = read_table(place, value)
    drops = {
        key: cast(int, count)
        for key, count in table.items()
        if key not in (GLAZE, OVER)
        and _check_word(place.at(key), key, pots, names)
        and _check_drops(place.at(key), count)
    }
    if isinstance(value, dict) and not set(table) - {GLAZE, OVER}:
        place.fault("the step has no paint in it", "write at least one pot, such as { warm = 1 }")
    coats = None
    if GLAZE in table:
        coats = read_number(place.at(GLAZE), table[GLAZE], 0.0, MOST_COATS, above_low=True)
    return StepDraft(name, place, drops, coats, _read_over(place, name, table, names))


def _read_over(
    place: Place, name: str, table: Mapping[str, object], names: tuple[str, ...]
) -> str | None:
    """What a glaze lies over, when the step says so."""
    if OVER not in table:
        return None
    if GLAZE not in table:
        place.at(OVER).fault(
            "only a glaze lies over something", "add glaze = 0.5 (coats), or leave over out"
        )
    grounds = [*(other for other in names if other != name), PRIMER]
    return read_choice(place.at(OVER), table[OVER], grounds, "ground of a glaze")


def _check_word(place: Place, word: str, pots: frozenset[str], names: tuple[str, ...]) -> bool:
    """Whether a key of a step is a pot of the scheme or a step of its ramp."""
    if word in pots or word in names:
        return True
    valid = [*(role for role in ROLES if role in pots), *names]
    if word in ROLES:
        what = f"the scheme has no {word} pot"
        # One missing pot is one slip, however many steps want it.
        if all(fault.what != what for fault in place.faults):
            place.fault(what, f"add {word} to [pots], or use: {', '.join(valid)}")
    elif word in STEP_KEYS or word in HIGHLIGHT_NAMES:
        place.fault(f"the ramp has no step {word}", choices_fix(word, valid))
    else:
        place.fault(f'unknown pot or step "{word}"', choices_fix(word, (*valid, GLAZE, OVER)))
    return False


def _check_drops(place: Place, count: object) -> bool:
    """Whether a count of drops is whole, above 0 and not absurd."""
    if is_whole(count) and 1 <= cast(int, count) <= MOST_DROPS:
        return True
    place.fault(
        f"drops must be a whole number from 1 to {MOST_DROPS}, got {shown(count)}",
        "leave the pot out for none; for half drops, double all of them",
    )
    return False


def _fault_circles(drafts: tuple[StepDraft, ...]) -> None:
    """Fault steps that build on themselves, and glazes that lie over each other in a circle."""
    by_name = {draft.name: draft for draft in drafts}
    built = {draft.name: [w for w in draft.drops if w in by_name] for draft in drafts}
    for circle in _circles(built):
        by_name[circle[0]].place.at(circle[1]).fault(
            f"the steps build on each other in a circle: {' -> '.join(circle)}",
            "let one of them be mixed from pots alone",
        )
    laid = {
        draft.name: [ground]
        for draft, ground in zip(drafts, grounds(drafts), strict=True)
        if ground
    }
    for circle in _circles(laid):
        at = by_name[circle[0]].place
        at.at(OVER if by_name[circle[0]].over else GLAZE).fault(
            f"the glazes lie over each other in a circle: {' -> '.join(circle)}",
            "let one of them be opaque, or lie over the primer",
        )


def grounds(drafts: tuple[StepDraft, ...]) -> list[str | None]:
    """What step each glaze lies over: the one it names, else the one below it; None for primer."""
    found: list[str | None] = []
    for index, draft in enumerate(drafts):
        below = drafts[index - 1].name if index else None
        ground = draft.over or below
        found.append(ground if draft.coats is not None and ground != PRIMER else None)
    return found


def _circles(follows: Mapping[str, list[str]]) -> list[tuple[str, ...]]:
    """Each circle once, as the names along it with the first one repeated at the end."""
    found: list[tuple[str, ...]] = []
    done: set[str] = set()

    def walk(name: str, trail: tuple[str, ...]) -> None:
        if name in trail:
            found.append((*trail[trail.index(name) :], name))
        elif name not in done:
            for other in follows.get(name, []):
                walk(other, (*trail, name))
            done.add(name)

    for name in follows:
        walk(name, ())
    return found
