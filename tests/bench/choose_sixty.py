"""The exact ten best of a rack of 60 paints: python tests/bench/choose_sixty.py [PAINTS] [SECONDS]

The rack is the 24 single pigments that ship, then hypothetical swatches by rule. Compiled loops
are warmed up first. Prints seconds of the clock and of the processor, and how many options were
mixed; with more paints, what the bound says when the time is over.
"""

from __future__ import annotations

import sys
import time

import numpy as np

from preview.palette.choose import Ask, choose
from preview.rack.load import load_rack
from tests.palette.racks import rack_by_rule


def main() -> None:
    """Measure one choice."""
    paints = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    seconds = float(sys.argv[2]) if len(sys.argv) > 2 else np.inf
    choose(load_rack("harbour"))
    rack = rack_by_rule(paints)
    wall, processor = time.perf_counter(), time.process_time()
    choice = choose(rack, Ask(seconds=seconds))
    wall, processor = time.perf_counter() - wall, time.process_time() - processor
    sure = "exact" if choice.at_most is None else f"left out at most {choice.at_most:.3f}"
    sys.stdout.write(
        f"{paints} paints, {choice.options} options, {choice.tried} mixed in full: {wall:.1f} s, "
        f"{processor:.1f} s of processor; best {choice.best[0].score:.3f}, tenth "
        f"{choice.best[-1].score:.3f}, {sure}\n"
    )


if __name__ == "__main__":
    main()
