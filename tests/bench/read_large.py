"""Time `fourpot readability` on about 1.3 million faces: eight views, three distances.

Run: python tests/bench/read_large.py

Light is baked first and kept; then the verdict with all pictures, the advice in drops, and one
scheme more. The figure is a spindle of 16 areas whose borders add up to more than most figures'.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from judge_large import ribbed_body

from preview.flow import Stand, judge_of, paint_sculpt
from preview.judge.conditions import every_condition
from preview.publish_reading import publish_reading
from preview.ramp.load import load_scheme
from preview.ramp.scheme import Scheme
from preview.reading import read_scheme

DISTANCES_M = (0.6, 1.0, 1.5)
SCHEMES = Path(__file__).resolve().parents[2] / "schemes"


@contextmanager
def timed(name: str) -> Iterator[None]:
    """Print how long the block takes, by the clock and by the processor."""
    start, work = time.perf_counter(), time.process_time()
    yield
    took, worked = time.perf_counter() - start, time.process_time() - work
    sys.stdout.write(f"{name:<28} {took:6.2f} s, of processor {worked:6.2f} s\n")
    sys.stdout.flush()


def on_patches(scheme: Scheme, names: tuple[str, ...]) -> Scheme:
    """The scheme with its ramps dealt out to areas of other names."""
    ramps = list(scheme.ramps)
    dealt = {name: ramps[k % len(ramps)] for k, name in enumerate(names)}
    return replace(scheme, areas=dealt, elsewhere=None)


def main() -> None:
    """Print the times."""
    sculpt = ribbed_body()
    stand = Stand(sculpt)
    schemes = [
        on_patches(load_scheme(SCHEMES / f"{name}.toml"), sculpt.area_names)
        for name in ("storm-watch", "low-tide")
    ]
    conditions = every_condition(DISTANCES_M)
    sys.stdout.write(f"{len(sculpt.faces)} faces, {len(conditions)} conditions\n")
    with timed("light, once per sculpt"):
        paint_sculpt(stand, schemes[0])
    with tempfile.TemporaryDirectory() as folder:
        with timed("verdict and pictures"):
            reading = read_scheme(stand, schemes[0], conditions, advice=False)
            publish_reading(Path(folder) / "verdict", reading)
        with timed("the same with advice"):
            reading = read_scheme(stand, schemes[0], conditions)
            publish_reading(Path(folder) / "advice", reading)
    judge = judge_of(reading.painted, conditions)
    with timed("a further scheme"):
        judge.grade_all(paint_sculpt(stand, schemes[1], rig=schemes[0].rig), conditions)


if __name__ == "__main__":
    main()
