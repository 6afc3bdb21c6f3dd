"""One scheme among several: its paint and its verdict."""

from __future__ import annotations

from dataclasses import dataclass

from preview.judge.verdict import Verdict
from preview.paint.painted import Painted


@dataclass(frozen=True, eq=False)
class Compared:
    """A painted sculpt with its verdict, all of one comparison under one light."""

    painted: Painted
    verdict: Verdict
