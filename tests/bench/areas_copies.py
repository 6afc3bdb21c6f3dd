"""How alike areas come out when one marks file is laid on other exports of the figure.

Run by hand: python -m tests.bench.areas_copies [figure]
"""

from __future__ import annotations

import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

from preview.areas.marks.apply import MarkedFigure
from preview.errors import FourpotError
from tests.areas.copies import as_kept, copies, same_share
from tests.areas.simulated_user import paint_by_marks
from tests.areas.solids import as_one_solid, figure_named


def main() -> None:
    """One line a copy."""
    name = sys.argv[1] if len(sys.argv) > 1 else "keeper"
    figure = figure_named(name)
    if figure is None:
        sys.stdout.write(f"{name} is not there\n")
        return
    solid = as_one_solid(figure)
    session = paint_by_marks(solid, figure.area, figure.area_names, 16, 25, 0.95)
    first, marks, marked = as_kept(solid, session.marks)
    sys.stdout.write(f"{name}: {session.shares[-1]:.3f} right after {len(session.shares) - 1}\n")
    with tempfile.TemporaryDirectory() as folder:
        for kind, copy in copies(solid, Path(folder)):
            start = time.perf_counter()
            try:
                other = MarkedFigure(copy, marks)
                fitted = time.perf_counter() - start
                share, bare = (
                    same_share(first, marked, other, other.apply(kept))
                    for kept in (marks, replace(marks, settled=None))
                )
                said = (
                    f"{share:.4f} the same ({bare:.4f} by marks alone), {other.fit.in_words()}, "
                    f"ready in {fitted:.1f} s"
                )
            except FourpotError as error:
                said = f"refused: {error}"
            sys.stdout.write(f"{kind:<12} {len(copy.faces):>8,} faces  {said}\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main()
