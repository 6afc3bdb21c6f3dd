"""A figure of 1.4 million faces from file to 36 frames, sheet and report, against the plain loop.

Runs the plain loop, fourpot cold, and fourpot with its light cached, one after another, and prints
seconds, ratios and peak memory: python tests/bench/against_plain_loop.py
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from preview.shipped import shipped
from tests.bench.large_mesh import write_large_stl

HERE = Path(__file__).parent


def timed(command: list[str], cache: Path) -> tuple[float, float]:
    """Wall seconds and peak memory in GB of one run."""
    environment = {**os.environ, "FOURPOT_CACHE": str(cache)}
    # As installed: modules are not compiled anew in every run.
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    start = time.perf_counter()
    running = subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL)
    _, status, usage = os.wait4(running.pid, 0)
    if status:
        raise SystemExit(f"{command[1]} failed")
    return time.perf_counter() - start, usage.ru_maxrss / 1024**2


def main() -> None:
    """Measure all three in one folder."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        mesh = folder / "large.stl"
        faces = write_large_stl(mesh)
        text = shipped("schemes", "storm-watch.toml").read_text(encoding="utf-8")
        kept = text.split("[areas]")[0].replace('mesh = "../meshes/keeper.glb"', "")
        kept += '[areas]\nelsewhere = "oilskin"\n'
        scheme = folder / "large.toml"
        scheme.write_text(kept, encoding="utf-8")
        paint = [sys.executable, "-m", "preview", "paint", str(scheme), "--mesh", str(mesh)]
        paint += ["--out", str(folder / "out"), "--quiet"]
        loop = [sys.executable, str(HERE / "plain_loop.py"), str(mesh), str(folder / "loop")]
        say(f"{faces} faces")
        plain, memory = timed(loop, folder)
        say(f"plain loop     {plain:6.1f} s  {memory:.2f} GB")
        for title in ("fourpot, cold  ", "fourpot, cached"):
            seconds, memory = timed(paint, folder / "cache")
            say(f"{title}{seconds:6.1f} s  {memory:.2f} GB  {plain / seconds:.1f} times as fast")


def say(words: str) -> None:
    """A line of the result, at once."""
    sys.stdout.write(words + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
