"""`fourpot compare` with eight schemes against one: python tests/bench/eight_schemes.py"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from preview.shipped import shipped

NAMES = ("storm-watch", "low-tide", "dog-watch", "last-light", "sea-thrift")


def seconds(schemes: list[str], folder: Path) -> float:
    """Wall seconds of one comparison with its light cached."""
    command = [sys.executable, "-m", "preview", "compare", *schemes, "--quiet"]
    command += ["--out", str(folder / f"out-{len(schemes)}")]
    environment = {**os.environ, "FOURPOT_CACHE": str(folder / "cache")}
    start = time.perf_counter()
    subprocess.run(command, env=environment, check=True)
    return time.perf_counter() - start


def main() -> None:
    """Measure one and eight, twice each, and print the better."""
    eight = [str(shipped("schemes", f"{NAMES[k % len(NAMES)]}.toml")) for k in range(8)]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        seconds(eight[:1], folder)
        one = min(seconds(eight[:1], folder) for _ in range(2))
        many = min(seconds(eight, folder) for _ in range(2))
        sys.stdout.write(f"one {one:.1f} s, eight {many:.1f} s, ratio {many / one:.2f}\n")


if __name__ == "__main__":
    main()
