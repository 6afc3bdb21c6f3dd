"""Does a scheme read: graded under all conditions, with advice in drops, mended if asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from preview.flow import Stand, paint_to_judge
from preview.judge.compared import Compared
from preview.judge.conditions import Conditions
from preview.judge.grades import Grade
from preview.judge.judge import Judge
from preview.judge.mending import Mend, advise_drops, mend_all
from preview.judge.verdict import Pair, Verdict
from preview.judge.views import AROUND, Around
from preview.light.lightmap import Rig
from preview.paint.painted import Painted
from preview.progress import Progress, silent
from preview.ramp.scheme import Scheme


@dataclass(frozen=True, eq=False)
class Reading:
    """All that was found out about one scheme on one sculpt.

    verdicts : under each of the conditions, the first one decides.
    advice : (pair, change) for each weak pair; None where no small change lifts it.
    made : changes that mend the scheme, one after the other; empty when none were asked for.
    mended : the verdicts after them.
    """

    stand: Stand
    painted: Painted
    around: Around
    verdicts: tuple[Verdict, ...]
    advice: tuple[tuple[Pair, Mend | None], ...] = ()
    made: tuple[Mend, ...] = ()
    mended: tuple[Verdict, ...] = ()

    @property
    def compared(self) -> Compared:
        """The scheme with its verdicts, as comparisons have it."""
        return Compared(self.painted, self.verdicts[0], self.verdicts)

    def as_dict(self) -> dict[str, Any]:
        """For JSON: the first verdict in full, the others too, advice and what was mended."""
        found = self.verdicts[0].as_dict()
        found["scheme"] = self.painted.scheme.path.name
        found["views"] = {
            "elevation_deg": self.around.elevation_deg,
            "front": self.around.front,
            "azimuths_deg": list(self.around.azimuths_deg()),
            "weights": [round(float(w), 4) for w in self.around.weights()],
        }
        found["every_condition"] = [verdict.as_dict() for verdict in self.verdicts]
        found["advice_in_drops"] = [
            {"pair": pair.name, "change": None if mend is None else mend.as_dict()}
            for pair, mend in self.advice
        ]
        if self.made:
            found["mended"] = {
                "changes": [mend.as_dict() for mend in self.made],
                "verdicts": [verdict.as_dict() for verdict in self.mended],
            }
        return found


def read_scheme(
    stand: Stand,
    scheme: Scheme,
    conditions: Sequence[Conditions],
    *,
    rig: Rig | None = None,
    around: Around = AROUND,
    advice: bool = True,
    mend: bool = False,
    progress: Progress = silent,
) -> Reading:
    """Paint, judge, look for the drops that would help.

    Parameters
    ----------
    stand : the sculpt, prepared.
    conditions : at least one; all under one lamp.
    advice : whether to look for changes of drops, which takes longer than judging.
    mend : whether to go on until nothing more can be lifted.
    """
    several, judge = paint_to_judge(
        stand,
        [scheme],
        conditions,
        rig=rig or scheme.rig,
        illuminant=conditions[0].illuminant,
        around=around,
        progress=progress,
    )
    painted = several[0]
    verdicts = tuple(judge.grade_all(painted, conditions))
    weak = verdicts[0].below(Grade.READABLE)
    found = advise_drops(judge, painted, verdicts, progress) if advice else []
    made = tuple(mend_all(judge, painted, verdicts, progress)) if mend else ()
    return Reading(
        stand=stand,
        painted=painted,
        around=around,
        verdicts=verdicts,
        advice=tuple(zip(weak, found, strict=True)) if advice else (),
        made=made,
        mended=_after(judge, made, conditions),
    )


def _after(
    judge: Judge, made: Sequence[Mend], conditions: Sequence[Conditions]
) -> tuple[Verdict, ...]:
    """The verdicts once all changes are made."""
    return tuple(judge.grade_all(made[-1].painted, conditions)) if made else ()
