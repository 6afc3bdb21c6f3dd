"""Eight schemes side by side against one alone: python tests/bench/eight_schemes.py

From mesh to turntable and sheet, with light and views cached, twice each; prints the better.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from pathlib import Path

from preview import compare_schemes, load_scheme, load_sculpt
from preview.flow import Stand
from preview.kept import SWITCH
from preview.publish import Shoot, publish_comparison
from preview.shipped import shipped

NAMES = ("storm-watch", "low-tide", "dog-watch", "last-light", "sea-thrift")
SHOOT = Shoot(frames=24, size=480)


def seconds(schemes: list[Path], folder: Path) -> float:
    """Wall seconds of one comparison."""
    start = time.perf_counter()
    stand = Stand(load_sculpt(shipped("meshes", "keeper.glb")))
    several = compare_schemes(stand, [load_scheme(path) for path in schemes])
    publish_comparison(folder / f"out-{len(schemes)}", stand, several, SHOOT, overwrite=True)
    return time.perf_counter() - start


def main() -> None:
    """Measure one and eight."""
    eight = [shipped("schemes", f"{NAMES[k % len(NAMES)]}.toml") for k in range(8)]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        os.environ[SWITCH] = str(folder / "cache")
        seconds(eight, folder)
        seconds(eight[:1], folder)
        one = min(seconds(eight[:1], folder) for _ in range(2))
        many = min(seconds(eight, folder) for _ in range(2))
    sys.stdout.write(f"one {one:.1f} s, eight {many:.1f} s, ratio {many / one:.2f}\n")


if __name__ == "__main__":
    main()
