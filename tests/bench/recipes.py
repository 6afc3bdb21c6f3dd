"""CPU time of recipes: 1,136 mixes of five pots, then whole racks: python -m tests.bench.recipes"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from functools import partial

from preview.mix.recipes import constants_of
from preview.palette.recipes import find_recipes, plan_search
from preview.palette.search import Search
from preview.palette.wanted import read_colour
from preview.rack.load import load_rack

RUNS = 7
WANTED = read_colour("#8a4b2a")


def cpu_ms(work: Callable[[], object], runs: int = RUNS) -> float:
    """Median CPU time of several runs after a first one, ms."""
    work()
    times = []
    for _ in range(runs):
        start = time.process_time()
        work()
        times.append(1000.0 * (time.process_time() - start))
    return statistics.median(times)


def look_at_five() -> None:
    """Hold every mix of five pots against the colour, nothing else."""
    rack = load_rack("harbour")
    constants = constants_of(list(rack.paints.values())[:5])

    def look() -> None:
        search = Search(constants, WANTED.lab, 8)
        for pots in range(1, 6):
            search.look(pots)

    say(f"1,136 mixes of five pots       {cpu_ms(look):8.1f} ms")


def whole_racks() -> None:
    """Everything that the command asks of the library."""
    for name in ("harbour", "pigments"):
        rack = load_rack(name)
        count = plan_search(rack).looked_at
        took = cpu_ms(partial(find_recipes, rack, WANTED), runs=3)
        say(f"{count:,} mixes of {name:<10}    {took:8.0f} ms")


def say(words: str) -> None:
    """A line of the result, at once."""
    sys.stdout.write(words + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    look_at_five()
    whole_racks()
