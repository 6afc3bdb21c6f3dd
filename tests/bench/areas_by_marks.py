"""How many actions a painter needs to name the areas of single solids, by a simulated one.

Run by hand: python -m tests.bench.areas_by_marks [REGIONS] [--shapes] [--no-mirror] [figure ...]

Without --shapes the painter types numbers and sets growing marks, with a reach or without. With it
also discs, strokes, belts, outlines, bands of heights and mirror images; as in a proposal, numbers
and marks count on both sides of figures that are alike left and right, with --no-mirror never.

Beside each count stands how many pieces of true areas make as much: who gets a whole piece with
each action needs so many.

Figures: keeper (on which settings were chosen); fiddler and storekeeper (on which nothing was, not
even the ways to mark); the other figures of tests/areas/figures (see "How many actions name a
figure" in DEVELOPERS.md for what was chosen on which); and where the folder of openly licensed
meshes stands beside the checkout, king and witch with their materials as the truth, as they are and
as the one closed surface around them (-solid).
"""

from __future__ import annotations

import sys
import time

import numpy as np

from preview.areas.analysis.agreement import nameable_share, rand_index
from preview.areas.analysis.analysis import Analysis
from preview.areas.analysis.regions import proposed
from preview.areas.sculpt import Sculpt
from tests.areas.simulated_user import GOALS, paint_by_marks, pieces_to
from tests.areas.solids import as_one_solid, figure_named

FIGURES = (
    "keeper", "fiddler", "storekeeper", "beekeeper", "cook", "lamplighter", "ferrywoman", "stoker",
    "coxswain", "diver", "signaller", "pilot", "netmender", "king", "witch", "king-solid",
    "witch-solid",
)  # fmt: skip


def main() -> None:
    """One line a figure."""
    words = [word for word in sys.argv[1:] if not word.startswith("--")]
    shapes, mirror = "--shapes" in sys.argv, False if "--no-mirror" in sys.argv else None
    count = int(words.pop(0)) if words and words[0].isdigit() else 16
    for name in words or FIGURES:
        figure = figure_named(name)
        if figure is None:
            sys.stdout.write(f"{name:<10} is not there\n")
            continue
        _tell(name, figure, count, shapes, mirror)


def _tell(name: str, figure: Sculpt, count: int, shapes: bool, mirror: bool | None) -> None:
    """Proposal and actions of one figure."""
    solid = as_one_solid(figure)
    analysis = Analysis(solid.vertices, solid.faces).with_both_sides(0.0, mirror)
    proposal = proposed(analysis, count)
    regions = proposal.of_face[analysis.standing_in]
    size = np.where(solid.exposed, solid.mm2, 0.0).astype(np.float64)
    start = time.perf_counter()
    session = paint_by_marks(
        solid, figure.area, figure.area_names, count, 60, shapes=shapes, mirror=mirror
    )
    actions = [session.actions_to(goal) for goal in GOALS]
    areas = len(figure.area_names)
    took = time.perf_counter() - start
    shares = "  ".join(
        f"{goal:.0%}: {a if a is not None else '>60':>3} ({a / areas if a else 0:.2f}x, {k} pieces)"
        for goal, a, k in zip(GOALS, actions, pieces_to(solid, figure.area, mirror), strict=True)
    )
    sys.stdout.write(
        f"{name:<10} {len(solid.faces):>8,} faces  {analysis.surface.shells:>3} shells  "
        f"{areas:>2} areas  Rand error {1 - rand_index(regions, figure.area):.3f}  "
        f"nameable {nameable_share(regions, figure.area, size):.3f}  {shares}  "
        f"{took / max(1, len(session.shares) - 1):.2f} s an action\n"
    )
    sys.stdout.flush()


if __name__ == "__main__":
    main()
