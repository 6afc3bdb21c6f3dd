"""The smallest change of drops that makes a pair read, and harms no other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from preview.judge.bars import bars_of
from preview.judge.colours import colours_of
from preview.judge.conditions import Conditions
from preview.judge.grades import DEMANDS, Grade
from preview.judge.judge import Judge
from preview.judge.pair_grades import PairGrades, pair_grades
from preview.judge.repaint import repainted
from preview.judge.sight import Sight, sight_of
from preview.judge.trials import RampTrials, Trial
from preview.judge.verdict import Pair, Verdict
from preview.paint.painted import Painted
from preview.progress import Progress, silent
from preview.ramp.drop_changes import MOST_CHANGED, DropChange

MOST_ROUNDS = 40


@dataclass(frozen=True)
class Effect:
    """What a change does to one pair under some conditions."""

    pair: str
    conditions: str
    before: Grade
    after: Grade


@dataclass(frozen=True, eq=False)
class Mend:
    """A change of drops that lifts a pair.

    pair : "part on ground"; before, after : its grade under the first conditions.
    accent : it becomes an accent, seen but too thin for its shape to read.
    by_hue : value alone would leave it at a lower grade.
    enough : it reaches what was asked for: readable, or an accent where it is too thin.
    effects : every pair whose grade changes, under each of the conditions; none falls.
    painted : the sculpt after the change.
    """

    pair: str
    change: DropChange
    before: Grade
    after: Grade
    accent: bool
    by_hue: bool
    enough: bool
    effects: tuple[Effect, ...]
    painted: Painted = field(repr=False)

    def as_dict(self) -> dict[str, object]:
        """For JSON."""
        return {
            "pair": self.pair,
            "ramp": self.change.ramp,
            "step": self.change.step,
            "drops_before": dict(self.change.before),
            "drops_after": dict(self.change.after),
            "grade_before": self.before.word,
            "grade_after": self.after.word,
            "accent": self.accent,
            "by_hue": self.by_hue,
            "enough": self.enough,
            "effects": [
                {
                    "pair": e.pair,
                    "conditions": e.conditions,
                    "before": e.before.word,
                    "after": e.after.word,
                }
                for e in self.effects
            ],
        }


class Mender:
    """Looks for changes of one painted sculpt under some conditions, the first of which decides."""

    def __init__(self, judge: Judge, painted: Painted, conditions: Sequence[Conditions]) -> None:
        self._judge, self._painted, self._conditions = judge, painted, tuple(conditions)
        self._bars = [bars_of(judge.meeting, one.distance_m) for one in conditions]
        self._sights = list(self._seen(painted))
        self._now = [pair_grades(sight) for sight in self._sights]
        self._trials: dict[str, RampTrials] = {}
        self._outcomes: dict[Trial, tuple[Painted, list[PairGrades]] | None] = {}

    def mend(self, pair: Pair) -> Mend | None:
        """The smallest change of drops that lifts a pair; None when there is none.

        Best is what makes it readable, or a part too thin to be read an accent: of such changes
        the one with the fewest drops. Where none does, the one that lifts the grade the most, by
        value or by hue alone; then, too, the fewest drops. Among as many drops the gentlest.
        """
        index = self._index(pair)
        ramps = self._ramps_of(index)
        lesser: list[Trial] = []
        for drops in range(1, MOST_CHANGED + 1):
            trials = [trial for name in ramps for trial in self._of(name).of(drops)]
            harmless = [trial for trial in trials if self._spares(trial)]
            enough = [trial for trial in harmless if _suffices(trial, index)]
            for trial in sorted(enough, key=lambda t: t.shift):
                found = self._verified(trial, index, pair)
                if found is not None:
                    return found
            lesser += [trial for trial in harmless if trial.at(index)[0] > pair.grade]
        lesser.sort(key=lambda t: (-t.at(index)[0], t.change.changed, t.shift))
        for trial in lesser:
            found = self._verified(trial, index, pair)
            if found is not None:
                return found
        return None

    def _seen(self, painted: Painted) -> Iterator[Sight]:
        """The borders of a painted sculpt under each of the conditions."""
        judge = self._judge
        for one, bars in zip(self._conditions, self._bars, strict=True):
            colours = colours_of(painted, judge.row, one.eyes, one.illuminant)
            yield sight_of(judge.meeting, colours, one, one.eyes.observer, judge.woven, bars)

    def _of(self, ramp: str) -> RampTrials:
        """The trials of a ramp, made when first asked for."""
        if ramp not in self._trials:
            self._trials[ramp] = RampTrials(ramp, self._painted, self._sights[0], self._judge.woven)
        return self._trials[ramp]

    def _index(self, pair: Pair) -> int:
        """The number of a pair in the meeting."""
        names = self._judge.meeting.area_names
        both = sorted((names.index(pair.part), names.index(pair.ground)))
        return int(np.flatnonzero((self._judge.meeting.pairs == both).all(axis=1))[0])

    def _ramps_of(self, index: int) -> list[str]:
        """The ramps of the two areas of a pair; bare primer has none."""
        worn = [self._painted.ramp_of_area[a] for a in self._judge.meeting.pairs[index]]
        return list(dict.fromkeys(ramp.name for ramp in worn if ramp is not None))

    def _spares(self, trial: Trial) -> bool:
        """Whether no pair of its ramp falls under the first conditions."""
        return bool((trial.grade >= self._now[0].grade[trial.pairs]).all())

    def _verified(self, trial: Trial, index: int, pair: Pair) -> Mend | None:
        """The change tried in full under all conditions; None when any pair falls after all."""
        if trial not in self._outcomes:
            self._outcomes[trial] = self._outcome(trial)
        outcome = self._outcomes[trial]
        if outcome is None:
            return None
        painted, after = outcome
        grade, accent = Grade(int(after[0].grade[index])), bool(after[0].accents()[index])
        if grade <= pair.grade and not (accent and not pair.accent):
            return None
        return Mend(
            pair=pair.name,
            change=trial.change,
            before=pair.grade,
            after=grade,
            accent=accent,
            by_hue=bool(grade > after[0].by_value[index]),
            enough=accent or grade >= Grade.READABLE,
            effects=self._effects(after),
            painted=painted,
        )

    def _outcome(self, trial: Trial) -> tuple[Painted, list[PairGrades]] | None:
        """The sculpt after a change with all its grades; None when any pair falls."""
        painted = repainted(self._painted, trial.ramp, self._conditions[0].illuminant)
        after: list[PairGrades] = []
        for sight, now in zip(self._seen(painted), self._now, strict=True):
            after.append(pair_grades(sight))
            if (after[-1].grade < now.grade).any():
                return None
        return painted, after

    def _effects(self, after: Sequence[PairGrades]) -> tuple[Effect, ...]:
        """Every pair whose grade changes."""
        names = self._judge.meeting.area_names
        found = []
        for one, sight, old, new in zip(
            self._conditions, self._sights, self._now, after, strict=True
        ):
            for k in np.flatnonzero(old.grade != new.grade):
                part, ground = sight.meeting.pairs[k][sight.bars.sides[k]]
                name = f"{names[part]} on {names[ground]}"
                before, now = Grade(int(old.grade[k])), Grade(int(new.grade[k]))
                found.append(Effect(name, one.name, before, now))
        return tuple(found)


def advise_drops(
    judge: Judge,
    painted: Painted,
    verdicts: Sequence[Verdict],
    progress: Progress = silent,
) -> list[Mend | None]:
    """For each pair below readable under the first conditions, the smallest change that lifts it.

    Each is taken alone, on the scheme as it is. None where no change of up to three drops in one
    step lifts it without lowering another pair; also for pairs that are accents already.

    Parameters
    ----------
    verdicts : of the painted sculpt under each of the conditions.
    """
    mender = Mender(judge, painted, [verdict.conditions for verdict in verdicts])
    weak = verdicts[0].below(Grade.READABLE)
    found: list[Mend | None] = []
    for done, pair in enumerate(weak, start=1):
        found.append(None if pair.accent else mender.mend(pair))
        progress("trying drops", done, len(weak))
    return found


def mend_all(
    judge: Judge,
    painted: Painted,
    verdicts: Sequence[Verdict],
    progress: Progress = silent,
) -> list[Mend]:
    """Changes to make one after the other, until nothing that reads badly can be lifted.

    The longest weak border goes first. Each change stands on those before it; none lowers a pair,
    nor the share of the border that reads.
    """
    conditions = [verdict.conditions for verdict in verdicts]
    made: list[Mend] = []
    verdict, hopeless = verdicts[0], set[str]()
    while len(made) < MOST_ROUNDS:
        progress("mending", len(made), MOST_ROUNDS)
        mender = Mender(judge, painted, conditions)
        for pair in _longest_first(verdict, hopeless):
            found = mender.mend(pair)
            after = found and judge.grade(found.painted, conditions[0], advice=False)
            if found and after and _share(after) >= _share(verdict):
                made.append(found)
                painted, verdict = found.painted, after
                break
            hopeless.add(pair.name)
        else:
            return made
    return made


def _share(verdict: Verdict) -> float:
    """Of the border that counts, how much reads; 0 where none counts."""
    return verdict.readable_share or 0.0


def _longest_first(verdict: Verdict, hopeless: set[str]) -> list[Pair]:
    """The weak pairs worth trying, the longest border first."""
    weak = [
        pair
        for pair in verdict.below(Grade.READABLE)
        if not pair.accent and pair.name not in hopeless
    ]
    return sorted(weak, key=lambda pair: (-pair.lengths.visible_mm, pair.name))


def _suffices(trial: Trial, index: int) -> bool:
    """Whether a trial makes a pair readable, or an accent where it is too thin for that."""
    grade, visibility, size = trial.at(index)
    demand = DEMANDS[Grade.READABLE]
    thin = size < demand.size
    return visibility >= demand.visibility if thin else grade >= Grade.READABLE
