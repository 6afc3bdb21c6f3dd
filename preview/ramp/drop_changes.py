"""What a few drops more or less in one step make of a ramp."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from preview.mix.mixture import Mix
from preview.optics.appearance import lab_from_reflectance
from preview.ramp.build import mix_steps
from preview.ramp.levels import step_reflectance
from preview.ramp.ramp import Ramp
from preview.ramp.scheme import Scheme
from preview.ramp.words import step_in_words

MOST_CHANGED = 3
"""Drops that a change adds and takes away, together: more is another recipe, not a mend."""

MOST_DROPS = 12
"""Drops in a changed step at most, unless it had more already; common practice, no source."""

RISE = 1.5
"""Least rise of L* from step to step that a change may leave where there was more."""


@dataclass(frozen=True)
class DropChange:
    """Other drops for one step of one ramp.

    before, after : pot role or step name -> whole drops.
    """

    ramp: str
    step: str
    before: Mapping[str, int]
    after: Mapping[str, int]

    @property
    def changed(self) -> int:
        """Drops added and taken away, together."""
        words = {*self.before, *self.after}
        return sum(abs(self.after.get(w, 0) - self.before.get(w, 0)) for w in words)

    def __str__(self) -> str:
        now, was = drops_of(self.after), drops_of(self.before)
        return f"{self.ramp}, {step_in_words(self.step)}: {now} instead of {was}"


def drops_of(drops: Mapping[str, int]) -> str:
    """Such as "3 warm + 1 cold"."""
    return " + ".join(f"{count} {step_in_words(word)}" for word, count in drops.items())


@dataclass(frozen=True, eq=False)
class RampChanges:
    """The whole-drop neighbours of one ramp of a scheme."""

    scheme: Scheme
    ramp: Ramp

    def changes(self, drops: int) -> Iterator[DropChange]:
        """Every change of exactly so many drops in one step, in a fixed order.

        A step may take any pot of the scheme and what it is built on already; it keeps at least
        one drop, and a change of nothing but scale is left out.
        """
        for step in self.ramp.steps:
            words = (*step.drops, *(role for role in self.scheme.pots if role not in step.drops))
            most = max(MOST_DROPS, sum(step.drops.values()))
            now = [step.drops.get(word, 0) for word in words]
            for moved in _moves(len(words), drops):
                after = [count + by for count, by in zip(now, moved, strict=True)]
                if min(after) < 0 or not 0 < sum(after) <= most or _same_ratio(now, after):
                    continue
                kept = {w: count for w, count in zip(words, after, strict=True) if count}
                yield DropChange(self.ramp.name, step.name, step.drops, kept)

    def apply(self, change: DropChange) -> Ramp:
        """The ramp after a change; steps that build on the changed one change with it."""
        drops = {name: self.ramp.step(name).drops for name in self._built_on[change.step]}
        drops[change.step] = change.after
        kept = {step.name: step.mix for step in self.ramp.steps if step.name not in drops}
        mixes = mix_steps(drops, {**self._pots, **kept})
        steps = tuple(
            replace(step, mix=mixes[step.name], drops=drops[step.name])
            if step.name in drops
            else step
            for step in self.ramp.steps
        )
        return replace(self.ramp, steps=steps)

    def rises(self, ramp: Ramp) -> bool:
        """Whether a changed ramp still rises from step to step, as far as the old one did."""
        wanted = np.minimum(self._rises_now, RISE)
        return bool((_rises(ramp, self.scheme) >= wanted - 1e-9).all())

    @cached_property
    def _rises_now(self) -> NDArray[np.float64]:
        return _rises(self.ramp, self.scheme)

    @cached_property
    def _pots(self) -> dict[str, Mix]:
        return {role: self.scheme.pot(role) for role in self.scheme.pots}

    @cached_property
    def _built_on(self) -> dict[str, set[str]]:
        """step -> itself and the steps that build on it, near or far."""
        found = {step.name: {step.name} for step in self.ramp.steps}
        for _ in self.ramp.steps:
            for step in self.ramp.steps:
                for names in found.values():
                    if names & step.drops.keys():
                        names.add(step.name)
        return found


def with_ramp(scheme: Scheme, ramp: Ramp) -> Scheme:
    """The scheme with one of its ramps in another form."""
    return replace(scheme, ramps={**scheme.ramps, ramp.name: ramp})


def _rises(ramp: Ramp, scheme: Scheme) -> NDArray[np.float64]:
    """(steps - 1,): by how much L* rises at each step."""
    looks = lab_from_reflectance(step_reflectance(ramp, scheme.primer.reflectance))
    return np.asarray(np.diff(looks[:, 0]))


def _same_ratio(first: list[int], second: list[int]) -> bool:
    """Whether two recipes are the same mix."""
    a, b = math.gcd(*first), math.gcd(*second)
    return [v // a for v in first] == [v // b for v in second]


def _moves(places: int, drops: int) -> Iterator[tuple[int, ...]]:
    """Every way to add and take away so many drops in all."""
    if places == 0:
        if drops == 0:
            yield ()
        return
    for by in (0, *(sign * k for k in range(1, drops + 1) for sign in (1, -1))):
        for rest in _moves(places - 1, drops - abs(by)):
            yield (by, *rest)
