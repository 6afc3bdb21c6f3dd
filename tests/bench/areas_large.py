"""How long a proposal takes from file to sheet, what memory it needs, and what an added mark costs.

Run by hand: python -m tests.bench.areas_large [MILLIONS_OF_FACES ...]

The figure is the beekeeper of the tests, its faces parted in four twice, with fine bumps. Each size
runs in a process of its own.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tests.areas.copies import finer
from tests.areas.figures.beekeeper import beekeeper
from tests.areas.small_meshes import write_stl

_CHILD = """
import resource, sys, time
from dataclasses import replace
from pathlib import Path
from preview.areas.load import load_sculpt
from preview.areas.marks.apply import MarkedFigure
from preview.areas.marks.model import POINT, Mark, Spot
from preview.areas.marks.read import load_marks
from preview.publish_marks import Asked, publish_proposal

def peak():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 2**20

start = time.perf_counter()
marks = []
def hear(step, done, total):
    marks.append((step, done, time.perf_counter() - start))
mesh, out = Path(sys.argv[1]), Path(sys.argv[2])
sculpt = load_sculpt(mesh, progress=hear)
loaded = time.perf_counter() - start
publish_proposal(sculpt, [mesh], 16, Asked(out), hear)
whole, most = time.perf_counter() - start, peak()
if "-v" in sys.argv:
    for step, done, at in marks:
        print(f"    {at:6.2f} s  {step} {done}")
marks = load_marks(out / "marks.toml")
numbers = list(marks.regions)
marks = replace(marks, areas={f"area {n}": (n,) for n in numbers})
figure = MarkedFigure(sculpt, marks)
before = figure.apply(marks)
def spot(share):
    face = int(share * len(sculpt.faces))
    at = tuple(float(v) for v in sculpt.corners[face].mean(axis=0))
    return Spot(at, tuple(float(v) for v in sculpt.normal[face]))
def took(*spots, reach=0.0):
    added = replace(marks, marks=(Mark(f"area {numbers[0]}", POINT, "bench", spots, reach),))
    begun = time.perf_counter()
    figure.apply(added, before)
    return time.perf_counter() - begun
shares = (0.31, 0.52, 0.83)
one = sorted(took(spot(share)) for share in shares)[1]
line, short = (
    sorted(took(spot(s), spot(s + 0.07), spot(s + 0.14), reach=reach) for s in shares)[1]
    for reach in (0.0, 3.0)
)
print(f"{len(sculpt.faces):>9,} faces  loaded {loaded:5.2f} s  sheet {whole:5.2f} s  "
      f"peak {most:4.2f} GiB  an added mark {one:.3f} s, a line through three places {line:.3f} s, "
      f"with a reach {short:.3f} s")
"""


def large_figure(millions: float) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """The beekeeper with about so many faces."""
    made = beekeeper(0.28 / np.sqrt(millions))
    vertices, faces = made.vertices.astype(np.float64), made.faces.astype(np.int64)
    for _ in range(2):
        vertices, faces = finer(vertices, faces)
    vertices += 0.004 * np.sin(vertices[:, [1, 2, 0]] * 37.0)
    return vertices, faces


def main() -> None:
    """One line a size."""
    sizes = [float(word) for word in sys.argv[1:] if word != "-v"] or [1.0, 3.0]
    verbose = ["-v"] if "-v" in sys.argv else []
    with tempfile.TemporaryDirectory() as folder:
        for millions in sizes:
            path = write_stl(Path(folder) / "figure.stl", large_figure(millions))
            out = Path(folder) / f"out-{millions:g}"
            child = [sys.executable, "-c", _CHILD, str(path), str(out), *verbose]
            environment = {**os.environ, "FOURPOT_CACHE": str(Path(folder) / "cache")}
            subprocess.run(child, check=True, env=environment)


if __name__ == "__main__":
    main()
