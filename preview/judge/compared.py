"""One scheme among several: its paint and its verdict."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from preview.judge.grades import Grade
from preview.judge.verdict import Verdict
from preview.paint.painted import Painted


@dataclass(frozen=True, eq=False)
class Compared:
    """A painted sculpt with its verdict, all of one comparison under one light.

    verdict : under the first of the conditions; verdicts : under each.
    """

    painted: Painted
    verdict: Verdict
    verdicts: tuple[Verdict, ...] = ()

    @property
    def every_verdict(self) -> tuple[Verdict, ...]:
        """All verdicts, the first one too when it is the only one."""
        return self.verdicts or (self.verdict,)

    @property
    def lowest_share(self) -> float | None:
        """The smallest share of border that reads under any of the conditions, in [0, 1]."""
        shares = [verdict.readable_share for verdict in self.every_verdict]
        return min((share for share in shares if share is not None), default=None)


def ranked(several: Sequence[Compared]) -> list[int]:
    """Indices of the schemes, the one first that reads best where it reads worst.

    Equal ones go by their mean over all conditions, then by how few pairs fall short.
    """

    def merit(index: int) -> tuple[float, float, float, int]:
        one = several[index]
        shares = [verdict.readable_share or 0.0 for verdict in one.every_verdict]
        short = sum(len(verdict.below(Grade.READABLE)) for verdict in one.every_verdict)
        return (-round(min(shares), 6), -round(sum(shares) / len(shares), 6), short, index)

    return sorted(range(len(several)), key=merit)
