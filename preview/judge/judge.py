"""Judge whether neighbouring areas of a painted figure can be told apart at the table.

Geometry first (`measure_neighbours`, once per sculpt), then colours (`grade`, once per scheme).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.judge.caveats import caveats_on
from preview.judge.colours import Colours, colours_of, row_of_face
from preview.judge.conditions import Conditions
from preview.judge.eye import Eye
from preview.judge.meeting import Meeting
from preview.judge.neighbours import measure_neighbours
from preview.judge.notes import notes_on, summary_of
from preview.judge.pairs import pairs_of
from preview.judge.sight import sight_of
from preview.judge.verdict import Pair, Verdict
from preview.judge.woven import Woven, weave
from preview.paint.painted import Painted
from preview.settings import LUX

__all__ = ["Colours", "Judge", "Meeting", "grade", "measure_neighbours"]


@dataclass(frozen=True, eq=False)
class Judge:
    """A sculpt's borders under one painted light, ready for any scheme under any conditions.

    row : (faces,) which row of a paint table each face shows.
    """

    meeting: Meeting
    row: NDArray[np.int32]
    woven: Woven

    @classmethod
    def of(cls, meeting: Meeting, painted: Painted) -> Judge:
        """The judge for a sculpt with the light that is on a painted one."""
        row = row_of_face(painted)
        return cls(meeting, row, weave(meeting, row, painted.table.luminance.size))

    def grade(self, painted: Painted, conditions: Conditions, advice: bool = True) -> Verdict:
        """Grade one scheme under some conditions."""
        colours = colours_of(painted, self.row, conditions.eyes, conditions.illuminant)
        return grade(self.meeting, colours, conditions=conditions, woven=self.woven, advice=advice)

    def grade_all(
        self, painted: Painted, conditions: Sequence[Conditions], advice: bool = True
    ) -> list[Verdict]:
        """Grade one scheme under each of some conditions; advice is given for the first alone."""
        return [
            self.grade(painted, one, advice and number == 0)
            for number, one in enumerate(conditions)
        ]


def grade(
    meeting: Meeting,
    colours: Colours,
    *,
    distance_m: float | None = None,
    lux: float = LUX.default,
    conditions: Conditions | None = None,
    eye: Eye | None = None,
    woven: Woven | None = None,
    advice: bool = True,
) -> Verdict:
    """Grade every pair of neighbouring areas in the colours of one scheme, the worst first.

    Parameters
    ----------
    meeting : neighbours, measured before.
    colours : of the same sculpt.
    distance_m : from eye to figure, metres; that of the measurement when left out.
    lux : on the figure, lx.
    conditions : in place of distance and light, and with the eyes.
    eye : how much contrast they need; the closed form at acuity 1.0 when left out.
    woven : of the meeting and the rows of the colours, to save making it again.
    advice : whether to look for changes of L* that would help, which takes longer than grading.

    Raises
    ------
    UsageError : distance or light is out of range or no number.

    Notes
    -----
    Holds exactly: the order of areas does not matter; no grade falls as contrast grows.
    """
    if conditions is None:
        conditions = Conditions(meeting.distance_m if distance_m is None else distance_m, lux)
    if woven is None:
        woven = weave(meeting, colours.row, len(colours.luminance))
    sight = sight_of(meeting, colours, conditions, eye or conditions.eyes.observer, woven)
    pairs = pairs_of(sight, woven, advice)
    share = _readable_share(pairs)
    return Verdict(
        conditions=conditions,
        luminance=sight.luminance,
        pairs=pairs,
        readable_share=share,
        summary=summary_of(pairs, share, conditions),
        notes=notes_on(meeting, conditions, sight.luminance),
        caveats=caveats_on(conditions),
    )


def _readable_share(pairs: tuple[Pair, ...]) -> float | None:
    """Of the visible border of the pairs that count, how much reads; None where no areas meet."""
    counted = [pair for pair in pairs if not pair.minor]
    total = sum(pair.lengths.visible_mm for pair in counted)
    if not total:
        return 0.0 if pairs else None
    return sum(pair.readable_share * pair.lengths.visible_mm for pair in counted) / total
